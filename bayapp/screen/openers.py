"""Makes the controllers of the wall's pages, and the table of which one opens which page.

It loads once the board has been painted; what takes long to load waits until its page is first opened.
"""

from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.pages.arrival.arrival import Fact
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.wanted import (
    AddZone,
    AgainFrom,
    AskFirst,
    ChoosePhotoZone,
    CorrectReading,
    CorrectTimes,
    CureWhere,
    EditRecipe,
    GotWetWhen,
    LookAt,
    MarkZones,
    MeasurePaint,
    NoteAbout,
    Page,
    ReadAirThen,
    Refused,
    ShowBottle,
    ShowClockNotice,
    ShowOwner,
    ShowPastCar,
    ShowPhotos,
    ShowRecipe,
    ShowRecord,
    ShowTopic,
    StoreFound,
    StoreTrouble,
    TakeIn,
    TakePhoto,
    UnworkedZone,
    WhereStands,
    WhichGotWet,
    WhichZone,
    WhoThen,
    WhyAside,
    WhyCarryOn,
)
from bayapp.screen.air.air_day_controller import AirDayController
from bayapp.screen.air.air_entry_controller import AirEntryController
from bayapp.screen.arrival.arrival_controller import ArrivalController
from bayapp.screen.arrival.owner_controller import OwnerController
from bayapp.screen.arrival.photos_controller import PhotosController
from bayapp.screen.arrival.thickness_controller import ThicknessController
from bayapp.screen.board.bays_controller import BaysController
from bayapp.screen.board.carry_on_controller import CarryOnController
from bayapp.screen.board.clock_question_controller import ClockQuestionController
from bayapp.screen.board.correction_controller import CorrectionController
from bayapp.screen.board.more_controller import MoreController
from bayapp.screen.board.sound_check_controller import SoundCheckController
from bayapp.screen.board.splash_controller import SplashController
from bayapp.screen.board.which_zone_controller import WhichZoneController
from bayapp.screen.cars.aside_controller import AsideController
from bayapp.screen.cars.car_leaves_controller import CarLeavesController
from bayapp.screen.cars.cars_controller import CarsController
from bayapp.screen.cars.curing_controller import CuringController
from bayapp.screen.cars.day_record_controller import DayRecordController
from bayapp.screen.cars.final_check_controller import FinalCheckController
from bayapp.screen.cars.moving_controller import MovingController
from bayapp.screen.cars.note_controller import NoteController
from bayapp.screen.cars.past_cars_controller import PastCarsController
from bayapp.screen.cars.people_controller import PeopleController
from bayapp.screen.cars.spot_controller import SpotController
from bayapp.screen.cars.who_stands_controller import WhoStandsController
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.notices import Notices
from bayapp.screen.input.foot_switch import FootSwitch
from bayapp.screen.input.glove_lock import GloveLock
from bayapp.screen.input.scanner import Scanner
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.page_table import PageTable
from bayapp.screen.plan.plan_controller import PlanController
from bayapp.screen.processes.backup_runner import BackupRunner
from bayapp.screen.processes.drives import SHARED
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.settings.backup_controller import BackupController
from bayapp.screen.settings.first_start_controller import FirstStartController
from bayapp.screen.settings.keys_controller import KeysController
from bayapp.screen.settings.named_bays import NamedBays
from bayapp.screen.settings.people_names import PeopleNames
from bayapp.screen.settings.settings_controller import SettingsController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.shelf.new_bottle_controller import NewBottleController
from bayapp.screen.shelf.shelf_controller import ShelfController
from bayapp.screen.widgets.choice_page import Show
from bayapp.screen.window.wall import Wall

if TYPE_CHECKING:
    from bayapp.screen.arrival.camera_controller import CameraController
    from bayapp.screen.arrival.marks_controller import MarksController
    from bayapp.screen.cars.change_controller import ChangeController
    from bayapp.screen.cars.new_job_controller import NewJobController
    from bayapp.screen.help.manual_controller import ManualController
    from bayapp.screen.recipes.recipes_controller import RecipesController


class Openers(QObject):
    """Fills the pages of a wall.

    ``jobs`` is the folder of job files, with the shop's own files beside it; ``runner`` writes day records. The caller
    connects ``table.open`` to the wall's signal for a page, because the wall is there before its openers.

    Attributes:
        table: which controller opens which page.
        settings: the shop's settings.
        switch, lock, scanner: the handlers of keys and touches besides the buttons.
        backups, backup: makes backups by themselves, and by touch.
    """

    def __init__(self, wall: Wall, jobs: Path, runner: ReportRunner) -> None:
        super().__init__(wall)
        self._wall, self._jobs = wall, jobs
        self.table = PageTable()
        self.settings = ShopSettings(jobs.parent, self)
        self._choices = Choices(wall.pages)
        self._typing = TypedEntryController(wall.pages)
        self._add_work()
        self._add_cars(runner)
        self._add_air()
        self._add_recipes()
        self._add_help()
        self.switch, self.lock = FootSwitch(wall), GloveLock(wall)
        self._add_settings()
        self.scanner = Scanner(wall)  # the last that hears keys, so that it sees every key first
        self.scanner.listeners.append(self.thickness.heard)
        self._add_shelf()

    def add_sensors(self, show_sensors: Callable[[Show], None]) -> None:
        """Add the sensors page, for a shop that has sensors."""
        self.table.add(Page.SENSORS, lambda: show_sensors(self._choices.show))

    def _add_work(self) -> None:
        """What one does at the car: zones, reasons, notes, times, and what the board has to say."""
        table, wall, choices = self.table, self._wall, self._choices
        chosen, pages, sender = wall.selection, wall.pages, wall.request_sender
        notices = Notices(chosen, choices, wall.store_look.write_back)
        clock = ClockQuestionController(chosen, pages, choices, self._typing.ask, wall.refresher)
        table.on(WhichZone, WhichZoneController(chosen, pages, choices).open)
        table.on(WhyCarryOn, CarryOnController(wall.selection, pages, sender, choices).open)
        table.on(AskFirst, SplashController(chosen, pages, sender, choices).open)
        spot = SpotController(chosen, pages, sender, wall.refresher, choices, self._typing)
        table.on(FillSpotCard, spot.open)
        table.on(WhyAside, AsideController(chosen, pages, sender, choices.show).open)
        note = NoteController(chosen, pages, sender, choices, self._typing)
        table.on(NoteAbout, note.open)
        table.on(UnworkedZone, note.open_unworked)
        table.on(CorrectTimes, CorrectionController(chosen, pages, sender, wall.refresher).open)
        table.on(Refused, notices.say_refused)
        table.on(StoreTrouble, notices.say_trouble)
        table.on(StoreFound, notices.say_found)
        table.on(ShowClockNotice, clock.open_notice)
        table.add(Page.CLOCK, clock.open)
        table.add(Page.CAUTIONS, notices.show_cautions)
        table.add(Page.SOUND, SoundCheckController(chosen.bay, pages, choices, wall.voice).open)
        table.add(Page.PLAN, PlanController(chosen, pages, sender, wall.refresher, choices.show).open)

    def _add_arrival(self) -> None:
        """What is told of a car when it arrives."""
        wall, choices = self._wall, self._choices
        chosen, pages, sender = wall.selection, wall.pages, wall.request_sender
        owner = OwnerController(self._jobs.parent, choices, self._typing)
        arrival = ArrivalController(chosen, pages, sender, choices, self._typing, owner.is_told)
        self.table.on(ShowOwner, owner.open)
        arrival.add(Fact.OWNER, lambda job: pages.want_below(ShowOwner(job)))
        shared = self._jobs.parent / SHARED
        self.thickness = ThicknessController(chosen, pages, sender, wall.drawings, choices, shared)
        self.table.on(MeasurePaint, self.thickness.open)
        self.table.on(MarkZones, self._open_marks)
        arrival.add(Fact.MARKS, lambda job: pages.want_below(MarkZones(job)))
        arrival.add(Fact.THICKNESS, lambda job: pages.want_below(MeasurePaint(job)))
        self.photos = PhotosController(chosen, pages, sender, wall.drawings, choices, self.settings)
        wall.closing.connect(self.photos.keeper.stop)
        self.table.on(ChoosePhotoZone, self.photos.choose_zone)
        self.table.on(ShowPhotos, self.photos.open)
        self.table.on(TakePhoto, self._open_camera)
        arrival.add(Fact.PHOTOS, lambda job: pages.want_below(ChoosePhotoZone(job)))
        self.table.add(Page.ARRIVAL, arrival.open)

    def _add_cars(self, runner: ReportRunner) -> None:
        """Cars and people that come and go, and their papers."""
        table, wall, choices = self.table, self._wall, self._choices
        chosen, pages, sender = wall.selection, wall.pages, wall.request_sender
        record = DayRecordController(chosen, pages, runner, choices.show)
        wall.closing.connect(runner.stop)
        wall.closing.connect(record.errands.wait)
        people = PeopleController(chosen, pages, sender, wall.refresher, self.settings, choices.show, self._typing)
        table.add(Page.CARS, CarsController(chosen, pages, self._jobs, choices.show).open)
        past = PastCarsController(chosen, pages, sender, choices.show)
        table.add(Page.PAST_CARS, past.open)
        table.on(ShowPastCar, past.show_car)
        table.on(ShowRecord, lambda wanted: record.open_of(wanted.job))
        table.add(Page.BAYS, BaysController(chosen, pages, wall.drawings, wall.refresher).open)
        table.add(Page.NEW_CAR, self._open_new_job)
        table.on(TakeIn, self._take_in)
        table.add(Page.HALF_FILLED, self._open_half_filled)
        table.add(Page.CHANGE, self._open_change)
        table.on(AddZone, self._open_add)
        self._add_arrival()
        who = WhoStandsController(chosen, pages, sender, wall.refresher, choices)
        table.add(Page.PEOPLE, who.open)
        table.on(WhoThen, who.open_then)
        table.add(Page.CREW, people.open)
        table.on(WhereStands, MovingController(chosen, pages, sender, wall.refresher, choices).open)
        curing = CuringController(chosen, pages, sender, wall.refresher, choices, self._typing)
        table.on(CureWhere, curing.open)
        table.on(WhichGotWet, self._open_wet)
        table.on(GotWetWhen, curing.open_when)
        table.add(Page.CLOSE, CarLeavesController(chosen, pages, sender, choices).open)
        look = FinalCheckController(chosen, pages, sender, choices, self._typing)
        table.add(Page.FINAL_CHECK, look.open)
        table.add(Page.BRAKES, look.open_brakes)
        table.on(LookAt, look.open_part)
        table.on(AgainFrom, look.open_again)
        table.add(Page.REPORT, record.open)
        table.add(Page.MORE, MoreController(chosen, pages, choices, wall.voice, record.state_of).open)

    def _add_air(self) -> None:
        table, wall = self.table, self._wall
        day = AirDayController(wall.selection, wall.pages, wall.refresher, self._choices.show)
        entry = AirEntryController(wall.selection, wall.pages, wall.request_sender)
        table.add(Page.AIR, entry.open)
        table.on(ReadAirThen, entry.open_then)
        table.on(CorrectReading, entry.correct)
        table.add(Page.AIR_DAY, day.open)
        table.add(Page.AIR_READINGS, day.readings)
        table.add(Page.AIR_TOUCHED, day.touched)

    def _add_recipes(self) -> None:
        self.table.add(Page.RECIPES, self._open_recipes)
        self.table.add(Page.SHEET, self._open_sheet)
        self.table.on(ShowRecipe, lambda wanted: self.recipes.open_recipe(wanted.name))
        self.table.on(EditRecipe, lambda wanted: self.recipes.open_editing(wanted.name))

    def _add_help(self) -> None:
        self.table.add(Page.HELP, self._open_help)
        self.table.on(ShowTopic, self._open_topic)

    def _add_settings(self) -> None:
        table, wall, show = self.table, self._wall, self._choices.show
        self.backups = BackupRunner(self.settings.store, wall.selection, self.settings.read, self)
        wall.closing.connect(self.backups.stop)
        self.backup = BackupController(wall.selection, wall.pages, self.settings, show, self.backups)
        names = PeopleNames(self, self.settings, self._typing, show)
        settings = SettingsController(wall, self.settings, show, self.backup, names, lambda: Page.SENSORS in table)
        table.add(Page.SETTINGS, settings.open)
        table.add(Page.FIRST_START, FirstStartController(wall.pages, self.settings, settings, self._typing).open)
        table.add(Page.WORDS, settings.open_words)
        table.add(Page.BAY, settings.open_bay)
        table.add(Page.HOURS, settings.open_hours)
        table.add(Page.NAMES, names.open)
        bays = NamedBays(wall.selection, self.settings, wall.request_sender, self._typing, show)
        table.add(Page.NAMED_BAYS, bays.open)
        table.add(Page.BACKUP, self.backup.open)
        table.add(Page.KEYS, KeysController(wall.pages, self.settings, self.switch, show).open)
        table.add(Page.LOCK, self.lock.lock)

    def _add_shelf(self) -> None:
        table, wall, show = self.table, self._wall, self._choices.show
        chosen, pages, sender = wall.selection, wall.pages, wall.request_sender
        shelf = ShelfController(chosen, pages, sender, wall.refresher, show, self._typing)
        fresh = NewBottleController(chosen, pages, sender, self._jobs, show, self._typing)
        table.add(Page.SHELF, shelf.open)
        table.on(ShowBottle, lambda wanted: shelf.open_bottle(wanted.bottle))
        table.add(Page.NEW_BOTTLE, fresh.open)
        self.scanner.scanned.connect(fresh.scanned)

    def _open_new_job(self) -> None:
        self.new_job.open()

    def _take_in(self, wanted: TakeIn) -> None:
        self.new_job.begin_ready(wanted.job)

    def _open_half_filled(self) -> None:
        self.new_job.go_on()

    def _open_change(self) -> None:
        self.change.open()

    def _open_add(self, wanted: AddZone) -> None:
        self.change.open_add(wanted)

    def _open_marks(self, wanted: MarkZones) -> None:
        self.marks.open(wanted)

    def _open_wet(self, wanted: WhichGotWet) -> None:
        self.change.open_wet(wanted)

    def _open_recipes(self) -> None:
        self.recipes.open()

    def _open_sheet(self) -> None:
        self.recipes.open_sheet()

    def _open_help(self) -> None:
        self.manual.open()

    def _open_camera(self, wanted: TakePhoto) -> None:
        self.camera.open(wanted)

    def _open_topic(self, wanted: ShowTopic) -> None:
        self.manual.open_topic(wanted)

    # Made when their page is first wanted: the start of the wall does not pay for them.

    @cached_property
    def camera(self) -> "CameraController":
        """What takes photos with the machine's camera."""
        from bayapp.screen.arrival.camera_controller import CameraController  # noqa: PLC0415 (see above)
        from bayapp.screen.arrival.machine_camera import MachineCamera  # noqa: PLC0415 (see above)

        wall = self._wall
        made = CameraController(wall.selection, wall.pages, self._choices, MachineCamera(wall), self.photos.keep_taken)
        wall.closing.connect(made.close)
        return made

    @cached_property
    def new_job(self) -> "NewJobController":
        """What makes a job of a new car."""
        from bayapp.screen.cars.new_job_controller import NewJobController  # noqa: PLC0415 (see above)

        wall = self._wall
        return NewJobController(wall.selection, wall.pages, self._jobs, self.settings, self._choices.show, self._typing)

    @cached_property
    def marks(self) -> "MarksController":
        """What marks zones."""
        from bayapp.screen.arrival.marks_controller import MarksController  # noqa: PLC0415 (see above)

        wall = self._wall
        return MarksController(
            wall.selection, wall.pages, wall.request_sender, wall.drawings, self._choices, self._typing
        )

    @cached_property
    def change(self) -> "ChangeController":
        """What changes a running job."""
        from bayapp.screen.cars.change_controller import ChangeController  # noqa: PLC0415 (see above)

        wall = self._wall
        return ChangeController(
            wall.selection, wall.pages, wall.request_sender, wall.drawings, self._jobs, self._choices.show
        )

    @cached_property
    def recipes(self) -> "RecipesController":
        """What shows and changes recipes."""
        from bayapp.screen.recipes.recipes_controller import RecipesController  # noqa: PLC0415 (see above)

        wall = self._wall
        return RecipesController(wall.selection, wall.pages, self._jobs.parent, self._choices.show, self._typing)

    @cached_property
    def manual(self) -> "ManualController":
        """What shows the manual."""
        from bayapp.screen.help.manual_controller import ManualController  # noqa: PLC0415 (see above)

        return ManualController(self._wall.pages, self._choices.show)
