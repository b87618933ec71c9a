"""Starts the wall screen: store, clock, bay, window, sound, in this order, and closes them again."""

import os
import signal
import sys
import tempfile
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import UTC, tzinfo
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from bayapp.files.shop.settings import Settings, load_settings, save_settings, set_up_bay, settings_file, use_shop_units
from bayapp.job import Job
from bayapp.pages.starting.start_trouble import Way
from bayapp.pages.wanted import Page
from bayapp.paths import default_store
from bayapp.private_files import close_store_to_others, make_private_folder
from bayapp.record.problems import store_problems
from bayapp.screen.bay_opening import open_bay, take_in, with_practice_bay
from bayapp.screen.faults import log_faults
from bayapp.screen.troubles import shown_on
from bayapp.screen.widgets.typeset import load_fonts
from bayapp.screen.window.start_window import fill_screen
from bayapp.screen.window.wall import Wall
from bayapp.screen.wiring import finish_start, forget_sources, make_window, openers_of
from bayapp.text.language import _
from bayapp.time_zone import local_zone

SIGNAL_MS = 500
RESTORE_ASKED_FOR = 3
"""What ``run`` returns where somebody asked to put a backup back, which no running wall can do; no exit code."""


class NoDisplayError(Exception):
    """There is no display: start bayapp in a desktop session, or give it a virtual one, e.g. ``xvfb-run bayapp``."""

    def __str__(self) -> str:
        return _(
            "There is no display to open the wall screen on. Start bayapp in a desktop session, "
            "or on a virtual display: xvfb-run bayapp --practice"
        )


def no_display() -> bool:
    """Whether this is a Linux machine without an X or Wayland display, and no other Qt platform was chosen."""
    named = any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))
    return sys.platform == "linux" and not named


@dataclass(frozen=True, slots=True)
class WallOptions:
    """How the wall is to be opened, as the command line says it.

    Attributes:
        job: a file, to take that car into the bay.
        speed: how many times faster practice time runs.
        kiosk: whether it fills the screen and stays in front.
    """

    job: Path | None = None
    practice: bool = False
    speed: float = 1.0
    kiosk: bool = False


def run(
    store: Path | None,
    options: WallOptions,
    without: Collection[Way] = (),
    stands: Callable[[Wall], None] = lambda _wall: None,
) -> int:
    """Open the wall screen and stay until it is closed; return the exit code.

    Practice uses the settings of the shop's own ``store``, because it runs on the same wall, but writes nothing there.
    ``without`` names what a person goes on without; ``stands`` is called with the window once it is there.

    Raises:
        StoreProblem, BadFile, UnknownZoneError: why it cannot start, in words for people; nothing has been opened.
        NoDisplayError: there is no display to open a window on.
    """
    if no_display():
        raise NoDisplayError
    own = store or default_store()
    settings = None if Way.WITHOUT_SETTINGS in without else load_settings(own)
    use_shop_units(settings or Settings())
    if Way.WITHOUT_CAR in without:
        options = replace(options, job=None)
    tz = UTC if Way.WITHOUT_ZONE in without else local_zone()
    if options.practice:
        with tempfile.TemporaryDirectory(prefix="bayapp-practice-") as folder:
            shop = with_practice_bay(settings or Settings())
            return run_on(Path(folder), shop, options, tz, stands)
    return run_on(own, settings, replace(options, speed=1.0), tz, stands)


def run_on(
    store: Path,
    settings: Settings | None,
    options: WallOptions,
    tz: tzinfo = UTC,
    stands: Callable[[Wall], None] = lambda _wall: None,
) -> int:
    """Do what ``run`` does on a store that is known, with settings that have been read, or without any."""
    with store_problems(str(store)):
        make_private_folder(store)
        make_private_folder(store / "jobs")
    close_store_to_others(store)
    if options.practice and settings:
        save_settings(store, settings)  # what is changed in practice is changed in the throw-away store
    log_faults(store)
    forget_sources()
    loaded = load_job(options.job) if options.job else None
    application()
    bay, close = open_bay(store, options.speed, options.practice, tz)
    try:
        if settings:  # without them the bay stays as it was last set up
            bay.request(set_up_bay(settings, tz))
        if loaded and loaded.id not in [state.job.id for state in bay.state.open_jobs]:
            take_in(bay, loaded, str(options.job))
        window = make_window(bay, store, settings or Settings(), tz, options.practice)
        try:
            return _show(window, store, settings, loaded, options, stands)
        finally:
            window.close()
            window.deleteLater()
            QApplication.processEvents()
    finally:
        close()


def _show(
    window: Wall,
    store: Path,
    settings: Settings | None,
    loaded: Job | None,
    options: WallOptions,
    stands: Callable[[Wall], None],
) -> int:
    window.stands.connect(lambda: finish_start(window, store, settings or Settings(), options.practice))
    window.stands.connect(lambda: openers_of(window, store).backup.restore_wanted.connect(_leave_for_restore))
    window.store_look.saved.connect(lambda _copy: _leave_for_restore())
    if not window.selection.bay.state.open_jobs:
        asked = settings_file(store).exists() and (settings is None or settings.first_start == "done")
        openers_of(window, store).table.open(Page.CARS if asked else Page.FIRST_START)
    if loaded:
        window.pages.show_car(loaded.id)
    if window.selection.bay.clock_watch.unsure:
        openers_of(window, store).table.open(Page.CLOCK)
    fill_screen(window, options.kiosk)
    stands(window)
    with shown_on(window.request_sender, window.pages):
        return QApplication.exec()


def _leave_for_restore() -> None:
    QApplication.exit(RESTORE_ASKED_FOR)


def load_job(file: Path) -> Job:
    """Return the job that the command line names.

    Raises:
        BadFile: it cannot be used.
    """
    from bayapp.files.library import Library  # noqa: PLC0415 (loads only where a job is named)

    return Library().load_job(file)


def application() -> QApplication:
    """Return the application object with our fonts, which Ctrl-C can end."""
    running = QApplication.instance()
    if isinstance(running, QApplication):  # a start that failed before has made it
        return running
    app = QApplication(sys.argv[:1])
    app.setApplicationName("bayapp")
    load_fonts()
    signal.signal(signal.SIGINT, lambda *_: app.quit())
    signal.signal(signal.SIGTERM, lambda *_: app.quit())
    wake = QTimer(app)  # lets Python see a signal while Qt waits
    wake.start(SIGNAL_MS)
    wake.timeout.connect(lambda: None)
    return app
