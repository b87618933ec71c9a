"""Starts the wall screen: store, clock, bay, window, sound, in this order, and closes them again."""

import os
import signal
import sys
import tempfile
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import Settings, load_settings, save_settings, set_up_bay, settings_file, use_shop_units
from bayapp.job import Job
from bayapp.pages.wanted import Page
from bayapp.paths import default_store
from bayapp.private_files import close_store_to_others, make_private_folder
from bayapp.screen.bay_opening import open_bay, take_in, with_practice_bay
from bayapp.screen.faults import log_faults
from bayapp.screen.troubles import shown_on
from bayapp.screen.widgets.typeset import load_fonts
from bayapp.screen.wiring import finish_start, forget_sources, make_window, openers_of
from bayapp.text.language import _
from bayapp.time_zone import local_zone

SIGNAL_MS = 500


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


def run(store: Path | None, job: Path | None, practice: bool, speed: float, kiosk: bool) -> int:
    """Open the wall screen and stay until it is closed; return the exit code.

    Practice uses the settings of the shop's own ``store``, because it runs on the same wall, but writes nothing there.

    Raises:
        StoreProblem, BadFile: why it cannot start, in words for people; nothing has been opened.
        NoDisplayError: there is no display to open a window on.
    """
    if no_display():
        raise NoDisplayError
    own = store or default_store()
    settings = load_settings(own)
    use_shop_units(settings)
    if practice:
        with tempfile.TemporaryDirectory(prefix="bayapp-practice-") as folder:
            return run_on(Path(folder), with_practice_bay(settings), job, speed, kiosk, practice=True)
    return run_on(own, settings, job, 1.0, kiosk, practice=False)


def run_on(store: Path, settings: Settings, job: Path | None, speed: float, kiosk: bool, practice: bool) -> int:
    """Do what ``run`` does on a store that is known, with settings that have been read."""
    make_private_folder(store / "jobs")
    close_store_to_others(store)
    if practice:
        save_settings(store, settings)  # what is changed in practice is changed in the throw-away store
    log_faults(store)
    forget_sources()
    loaded = load_job(job) if job else None
    app = application()
    bay, close = open_bay(store, speed, practice)
    bay.request(set_up_bay(settings))
    if loaded and loaded.id not in [state.job.id for state in bay.state.open_jobs]:
        try:
            take_in(bay, loaded, str(job))
        except BadFile:
            close()
            raise
    window = make_window(bay, store, settings, local_zone(), practice)
    window.stands.connect(lambda: finish_start(window, store, settings, practice))
    if not bay.state.open_jobs:
        asked = settings_file(store).exists() and settings.first_start == "done"
        openers_of(window, store).table.open(Page.CARS if asked else Page.FIRST_START)
    if loaded:
        window.pages.show_car(loaded.id)
    if kiosk:
        window.setWindowFlag(Qt.WindowType.WindowStaysOnTopHint)
        window.setGeometry(QApplication.primaryScreen().geometry())  # a bare X server has nobody to do it for us
        window.showFullScreen()
    else:
        window.setGeometry(QApplication.primaryScreen().availableGeometry())  # likewise
        window.showMaximized()
    with shown_on(window.request_sender, window.pages):
        code = app.exec()
    window.close()
    window.deleteLater()
    app.processEvents()
    close()
    return code


def load_job(file: Path) -> Job:
    """Return the job that the command line names.

    Raises:
        BadFile: it cannot be used.
    """
    from bayapp.files.library import Library  # noqa: PLC0415 (loads only where a job is named)

    return Library().load_job(file)


def application() -> QApplication:
    """Return the application object with our fonts, which Ctrl-C can end."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("bayapp")
    load_fonts()
    signal.signal(signal.SIGINT, lambda *_: app.quit())
    signal.signal(signal.SIGTERM, lambda *_: app.quit())
    wake = QTimer(app)  # lets Python see a signal while Qt waits
    wake.start(SIGNAL_MS)
    wake.timeout.connect(lambda: None)
    return app
