"""Starts the wall screen: store, clock, bay, window, sound, in this order, and closes them again."""

import gc
import linecache
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication
from tzlocal import reload_localzone

from bayapp.bay import Bay
from bayapp.clock import BayClock, Clock, PracticeClock
from bayapp.drawing.palette import PALETTES
from bayapp.files.library import Library
from bayapp.files.problems import BadFile, Finding
from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.files.shop.settings import Settings, load_settings, save_settings, use_shop_units
from bayapp.job import Job
from bayapp.job.state.requests import SetUpBay
from bayapp.pages.wanted import Page, Wanted
from bayapp.paths import default_store
from bayapp.record import open_journal
from bayapp.screen.faults import log_faults
from bayapp.screen.processes.awake import Awake
from bayapp.screen.troubles import shown_on
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import measure_of, read_from
from bayapp.screen.widgets.typeset import load_fonts
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.screen.openers import Openers

USUAL_SIZE = (1600, 900)
SIGNAL_MS = 500
PRACTICE_BAY_M3, PRACTICE_AIR_CHANGES = 150.0, 2.0  # an invented bay for one car
HEARD_BEFORE = timedelta(minutes=1)


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
            return run_on(Path(folder), settings, job, speed, kiosk, practice=True)
    return run_on(own, settings, job, 1.0, kiosk, practice=False)


def run_on(store: Path, settings: Settings, job: Path | None, speed: float, kiosk: bool, practice: bool) -> int:
    """Do what ``run`` does on a store that is known, with settings that have been read."""
    store.mkdir(parents=True, exist_ok=True)
    (store / "jobs").mkdir(exist_ok=True)
    if practice:
        save_settings(store, settings)  # what is changed in practice is changed in the throw-away store
    log_faults(store)
    _forget_sources()
    loaded = Library().load_job(job) if job else None
    app = application()
    bay, close = open_bay(store, speed, practice)
    configure_bay(bay, settings, practice)
    if loaded and loaded.id not in [state.job.id for state in bay.state.open_jobs]:
        try:
            take_in(bay, loaded, str(job))
        except BadFile:
            close()
            raise
    window = make_window(bay, store, settings, local_zone(), practice)
    window.stands.connect(lambda: finish_start(window, store, settings, practice))
    if not bay.state.open_jobs:
        openers_of(window, store).table.open(Page.CARS)
    if loaded:
        window.pages.show_car(loaded.id)
    if kiosk:
        window.setWindowFlag(Qt.WindowType.WindowStaysOnTopHint)
        window.setGeometry(QApplication.primaryScreen().geometry())  # a bare X server has nobody to do it for us
        window.showFullScreen()
    else:
        window.resize(*USUAL_SIZE)
        window.showMaximized()
    with shown_on(window.request_sender, window.pages):
        code = app.exec()
    window.close()
    window.deleteLater()
    app.processEvents()
    close()
    return code


def finish_start(window: Wall, store: Path, settings: Settings, practice: bool) -> None:
    """Do what can wait until the first painting; exclude what has been loaded from garbage collection."""
    openers = openers_of(window, store)
    _forget_sources()
    gc.freeze()
    gc.enable()
    add_sound(window, settings)
    add_planner(window, store, openers)
    if settings.sensor and not practice:
        add_sensors(window, settings.sensor, openers)
    recall_left(window)


def _forget_sources() -> None:
    """Free 10 MB: PySide reads the source of every importing module, and Python caches it."""
    linecache.clearcache()


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


def open_bay(store: Path, speed: float, practice: bool) -> tuple[Bay, Callable[[], None]]:
    """Open the journal and the clock; return the bay, and a function that closes it."""
    journal = open_journal(store)
    if practice:
        opening = BayClock.at_wall().now()
        clock: Clock = PracticeClock(opening, speed)
        bay = Bay(journal, clock)
        play_practice(bay, opening)
        return bay, journal.close
    clock, step = BayClock.resume(journal.last_stamp(), journal.last_heartbeat(), bool(journal.open_jobs()))
    bay = Bay(journal, clock)
    if step:
        bay.clock_watch.jumped(step)
    return bay, journal.close


def configure_bay(bay: Bay, settings: Settings, practice: bool) -> None:
    """Pass the shop's settings of its bay on; practice has an invented bay if the shop has set none."""
    volume_m3, air_changes = settings.bay_m3, settings.bay_air_changes
    if practice and (volume_m3 is None or air_changes is None):
        volume_m3, air_changes = PRACTICE_BAY_M3, PRACTICE_AIR_CHANGES
    bay.request(SetUpBay(settings.dew_margin_c, volume_m3, air_changes, settings.bay_mixing_k))


def play_practice(bay: Bay, opening: datetime) -> None:
    """Play the invented day up to this moment."""
    from bayapp.practice import practice_scenario  # noqa: PLC0415 (loads only where somebody practises)

    job, asked = practice_scenario(opening)
    bay.open_job(job, job.start)
    for at, request in asked:
        verdict = bay.request(request, at)
        if not verdict.accepted:
            raise RuntimeError(f"the practice day was refused at {at}: {verdict.refusal}")
    bay.alerts.update(opening, bay.clocks(opening))
    heard = [a.condition.subject for a in bay.alerts.unanswered() if opening - a.condition.since > HEARD_BEFORE]
    if heard:
        bay.alerts.acknowledge(heard)


def take_in(bay: Bay, job: Job, file: str) -> None:
    """Take in the car that the command line names.

    Raises:
        BadFile: it has been in the bay and has left; a closed job is not opened again.
    """
    try:
        bay.open_job(job)
    except ValueError as been:
        reason = _("this car has been in the bay and has left; give it another title or start, or leave --job out")
        raise BadFile([Finding(file, None, "title", reason)]) from been


def make_window(bay: Bay, store: Path, settings: Settings, tz: tzinfo, practice: bool = False) -> Wall:
    """Return the wall window, not yet shown; its pages are made once the board stands."""
    screen = QApplication.primaryScreen()
    size = screen.size()
    measure = measure_of(screen, size.width(), size.height(), settings.screen_diagonal_inch)
    look = Look(PALETTES[settings.theme], read_from(measure, settings.reading_distance_m))
    window = Wall(bay, look, tz, zone_now=local_zone)
    window.setWindowTitle("bayapp practice" if practice else "bayapp")
    window.pages.wanted.connect(lambda wanted: _open(window, store, wanted))

    awake = Awake()
    bay.subscribe(lambda: awake.keep(bool(bay.state.open_jobs)))
    window.stands.connect(lambda: awake.keep(bool(bay.state.open_jobs)))
    application = QApplication.instance()
    assert application
    application.aboutToQuit.connect(lambda: awake.keep(False))
    return window


def _open(window: Wall, store: Path, wanted: Wanted) -> None:
    openers_of(window, store).table.open(wanted)


def openers_of(window: Wall, store: Path) -> "Openers":
    """Return the openers of the window's pages, made when first needed, or once the board stands."""
    from bayapp.screen.openers import Openers  # noqa: PLC0415 (a tenth of the start, and nothing of it is on the board)
    from bayapp.screen.processes.report_runner import ReportRunner  # noqa: PLC0415 (see above)

    found = window.findChild(Openers)
    return found if isinstance(found, Openers) else Openers(window, store / "jobs", ReportRunner(store))


def add_sound(window: Wall, settings: Settings) -> None:
    """Start the window's sound, once the board stands, and ask for the day's sound check."""
    from bayapp.screen.processes.sound_caller import SoundCaller  # noqa: PLC0415 (sound and speech load once the board stands)

    sounder = SoundCaller(settings.volume, settings.spoken, window)
    sounder.changed.connect(window.refresher.refresh)
    window.voice.begin(sounder)
    window.refresher.refresh()


def add_planner(window: Wall, store: Path, openers: "Openers") -> None:
    """Run the planner's process for the window's bay until it is closed."""
    from bayapp.screen.processes.planner_process import PlannerProcess  # noqa: PLC0415 (loads once the board stands)

    planner = PlannerProcess(store, window.selection.bay, window)
    planner.planned.connect(window.refresher.refresh)
    window.closing.connect(planner.stop)
    openers.settings.changed.connect(lambda was, now: planner.replan() if _plans_by(was) != _plans_by(now) else None)
    planner.begin()


def _plans_by(settings: Settings) -> tuple[object, ...]:
    """Return the settings that the planner depends on."""
    return settings.hours, settings.cannot


def add_sensors(window: Wall, sensors: Sequence[SensorSettings], openers: "Openers") -> None:
    """Listen to the shop's sensors until the window is closed; practice has invented air."""
    from bayapp.screen.air.sensors_controller import SensorsController  # noqa: PLC0415 (loads only where a shop has sensors)

    controller = SensorsController(window.selection, sensors, window)
    controller.changed.connect(window.refresher.refresh)
    window.closing.connect(controller.stop)
    openers.add_sensors(controller.open)
    controller.begin()


def recall_left(window: Wall) -> None:
    """Read the cars that left within a day, one at a time, so that no touch waits; the air page reads the rest."""
    timer = QTimer(window, interval=0, singleShot=True)  # started again only after a success: trouble is shown once
    timer.timeout.connect(lambda: timer.start() if window.selection.bay.recall_left() else None)
    window.closing.connect(timer.stop)
    timer.start()


def local_zone() -> tzinfo:
    """Return the shop's time zone with its rules for summer time, as the machine has it."""
    if hasattr(time, "tzset"):
        time.tzset()  # else tzlocal compares with the zone of the program's start
    return reload_localzone()
