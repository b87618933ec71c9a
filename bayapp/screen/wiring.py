"""Makes the wall's window, and joins to it what loads once the board stands: pages, sound, planner, sensors."""

import gc
import linecache
from collections.abc import Sequence
from contextlib import suppress
from datetime import tzinfo
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from bayapp.bay import Bay
from bayapp.drawing.palette import PALETTES
from bayapp.files.problems import BadFile
from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.files.shop.settings import Settings
from bayapp.pages.wanted import Wanted
from bayapp.private_files import close_contents_to_others
from bayapp.screen.processes.awake import Awake
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import measure_of, read_from
from bayapp.screen.window.wall import Wall
from bayapp.time_zone import local_zone

if TYPE_CHECKING:
    from bayapp.screen.openers import Openers


def make_window(bay: Bay, store: Path, settings: Settings, tz: tzinfo, practice: bool = False) -> Wall:
    """Return the wall window, not yet shown; its pages are made once the board stands."""
    screen = QApplication.primaryScreen()
    size = screen.size()
    measure = measure_of(screen, size.width(), size.height(), settings.screen_diagonal_inch)
    look = Look(PALETTES[settings.theme], read_from(measure, settings.reading_distance_m, settings.letters))
    window = Wall(bay, look, tz, zone_now=local_zone, asks_who=not practice)
    window.setWindowTitle("bayapp practice" if practice else "bayapp")
    window.pages.wanted.connect(lambda wanted: _open(window, store, wanted))

    awake = Awake()
    bay.subscribe(lambda: awake.keep(bool(bay.state.open_jobs)))
    window.stands.connect(lambda: awake.keep(bool(bay.state.open_jobs)))
    application = QApplication.instance()
    assert application
    application.aboutToQuit.connect(lambda: awake.keep(False))
    return window


def finish_start(window: Wall, store: Path, settings: Settings, practice: bool) -> None:
    """Do what can wait until the first painting; exclude what has been loaded from garbage collection."""
    openers = openers_of(window, store)
    forget_sources()
    gc.freeze()
    gc.enable()
    add_sound(window, settings)
    add_planner(window, store, openers)
    if not practice:
        openers.backups.begin()
    if settings.sensor and not practice:
        add_sensors(window, sensors_of(store, settings), openers)
    recall_left(window)
    if not practice:
        check_journal(window, store)
        Thread(target=close_contents_to_others, args=(store,), name="rights", daemon=True).start()


def forget_sources() -> None:
    """Free 10 MB: PySide reads the source of every importing module, and Python caches it."""
    linecache.clearcache()


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
    bay = window.selection.bay
    sounder.silenced.connect(lambda why: bay.sound.take(why, bay.now()))
    sounder.silenced.connect(window.refresher.refresh)
    sounder.changed.connect(window.refresher.refresh)
    window.voice.begin(sounder)
    window.refresher.refresh()


def add_planner(window: Wall, store: Path, openers: "Openers") -> None:
    """Run the planner's process for the window's bay until it is closed."""
    from bayapp.screen.processes.planner_process import PlannerProcess  # noqa: PLC0415 (loads once the board stands)

    planner = PlannerProcess(store, window.selection.bay, window)
    planner.planned.connect(window.refresher.refresh)
    planner.lost.connect(window.refresher.refresh)
    window.closing.connect(planner.stop)
    openers.settings.changed.connect(lambda was, now: planner.replan() if _plans_by(was) != _plans_by(now) else None)
    planner.begin()


def _plans_by(settings: Settings) -> tuple[object, ...]:
    """Return the settings that the planner depends on."""
    return settings.hours, settings.cannot


def sensors_of(store: Path, settings: Settings) -> Sequence[SensorSettings]:
    """Return the shop's sensors with their passwords; one that stands in the settings is taken out of there first."""
    from bayapp.files.shop.passwords import move_passwords, with_passwords  # noqa: PLC0415 (only where a shop has sensors)

    with suppress(BadFile, OSError):  # then it stays there until the next start
        move_passwords(store)
    return with_passwords(store, settings.sensor)


def add_sensors(window: Wall, sensors: Sequence[SensorSettings], openers: "Openers") -> None:
    """Listen to the shop's sensors until the window is closed; practice has invented air."""
    from bayapp.screen.air.sensors_controller import SensorsController  # noqa: PLC0415 (loads only where a shop has sensors)

    controller = SensorsController(window.selection, sensors, window)
    controller.changed.connect(window.refresher.refresh)
    window.closing.connect(controller.stop)
    openers.add_sensors(controller.open)
    controller.begin()


def check_journal(window: Wall, store: Path) -> None:
    """Check the whole journal behind everything else, until the window is closed."""
    from bayapp.screen.processes.journal_check import JournalCheck  # noqa: PLC0415 (loads once the board stands)

    check = JournalCheck(store, window.selection.bay, window.pages)
    window.closing.connect(check.stop)
    check.begin()


def recall_left(window: Wall) -> None:
    """Read the cars that left within a day, one at a time, so that no touch waits; the air page reads the rest."""
    timer = QTimer(window, interval=0, singleShot=True)  # started again only after a success: trouble is shown once
    timer.timeout.connect(lambda: timer.start() if window.selection.bay.recall_left() else None)
    window.closing.connect(timer.stop)
    timer.start()
