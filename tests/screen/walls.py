"""A real wall on a real journal, its clock moved by hand, and fingers that press its buttons."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPdfWriter
from PySide6.QtTest import QSignalSpy, QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget

from bayapp.drawing.palette import PALETTES, next_theme
from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.job import AddPhoto, BayState, CloseJob, FinishStep, Job, ReadAir, ReadThickness, SetAside, Start
from bayapp.job.model.ids import BottleId, JobId, Person, StepId, ZoneId
from bayapp.job.state.events import Phase
from bayapp.job.state.requests import SetUpBay
from bayapp.job.text.naming import capital
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.board.phrases import aside_reasons
from bayapp.pages.cars.final_check import Fault
from bayapp.pages.settings.hours import StretchCount
from bayapp.pages.wanted import (
    AgainFrom,
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
    ShowBottle,
    ShowPastCar,
    ShowPhotos,
    ShowRecipe,
    ShowTopic,
    UnworkedZone,
    Wanted,
    WhereStands,
    WhichGotWet,
    WhichZone,
    WhyAside,
    WhyCarryOn,
)
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.ready import Beside, beside
from bayapp.report.facts.file_name import file_name
from bayapp.screen.air.air_entry import AirEntryPage
from bayapp.screen.air.sensors_controller import SensorsController
from bayapp.screen.arrival.thickness import ThicknessPage
from bayapp.screen.board.correction import CorrectionPage
from bayapp.screen.cars import new_job_controller
from bayapp.screen.cars.new_job_controller import NewJobController
from bayapp.screen.help.manual import ManualPage
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.openers import Openers
from bayapp.screen.plan.plan import PlanPage
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import measure_of
from bayapp.screen.window.time_zone_watch import ZoneNow
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _
from tests.pages.bays import HandBay
from tests.pages.orders import day_order, troubled
from tests.report.shop import practice_job

FULL_HD = (1920, 1080)
PAGES = (
    "alert",  # the first: afterwards it is answered
    *(page.value for page in Page),
    "board",
    "ladder",
    "choices",
    "refused",
    "note",
    "unworked",
    "reason",
    "zones",
    "where",
    "cure-where",
    "got-wet",
    "got-wet-when",
    "look-at",
    "again-from",
    "spot-card",
    "no-sound",
    "report-written",
    "clock-asked",
    "correct",
    "air-empty",
    "correct-unmoved",
    "aside",
    "ladder-aside",
    "board-aside",
    "plan-zones",
    "plan-day",
    "plan-none",
    "plan-ways",
    "work",
    "work-empty",
    "begin",
    "dividing",
    "dividing-cut",
    "change-add",
    "change-zones",
    "change-recipes",
    "change-why",
    "bottle",
    "recipe",
    "recipe-edit",
    "help-topic",
    "bottle-typed",
    "batch-typed",
    "label-doubted",
    "label-compared",
    "marks",
    "mark-place",
    "thickness",
    "photo-zones",
    "photos",
    "left-car",
    "air-unfit",
    "air-wrong",
    "air-old",  # half an hour passes
    "board-ripening",  # the last: another car comes in
    "ladder-ripening",
    "air-ripening",
)
"""Every page that opens by its name, and every state of the wall that takes more to reach."""

LABELS = {
    "label-doubted": "010629104150021310WWWWWMMMMM17271231",
    "label-compared": "01062910415002131737123110WWWWWMMMMMWWWWW",
}

TAKE_MORE = (
    "left-car",
    "plan",
    "report",
    "work",
    "begin",
    "dividing",
    "change-",
    "hours",
    "air-unfit",
    "air-old",
    "air-wrong",
)
"""Pages that take more than their name to open."""


RIPENING = JobId("ripening")


def ripening_job(at: datetime) -> Job:
    """A car whose waits hang on temperature, on humidity and on a rule of thumb."""
    by_c = {"min_by_c": [[10, 8], [20, 5], [30, 3]], "max_by_c": [[10, 60], [30, 20]]}
    by_rh = {"min_by_rh": [[30, 110], [50, 75], [80, 62]]}
    ruled = {"name": "ruled", "air_c": (5, 35), "temperature_rule": "halves-per-10-c", "temperature_rule_at_c": 20}

    def block(zone: str, wait: Mapping[str, object], product: str | None = None) -> dict[str, object]:
        coat = {"id": "coat-1", "kind": "coat", "layer": 1, "motion": "horizontal", "product": product}
        steps = (coat, {**coat, "id": "coat-2", "layer": 2, "wait": wait}, {"id": "buff", "kind": "buff", "wait": wait})
        return {"zones": (zone,), "recipe": {"name": f"by-air-{zone}", "step": steps}}

    plain = practice_job()
    blocks = (
        block("glass-right-quarter", by_c),
        block("tailgate", by_rh),
        block("rim-rear-right", {"min": 75, "max": 130}, "ruled"),
    )
    entries = {"id": RIPENING, "title": "The very green estate", "crew": ("Ash", "Bo"), "start": at}
    return Job.model_validate({**entries, "vehicle": plain.vehicle, "blocks": blocks, "products": {"ruled": ruled}})


_BESIDE: dict[tuple[object, ...], Beside] = {}


def beside_at_once(state: BayState, job: Job, at: datetime, shop: Shop) -> Beside:
    """Plan each new car beside each day once for all screens and languages: that takes most of a second."""
    key = (state.first_at, state.last_at, tuple(state.jobs), job.model_dump_json(), at, repr(shop))
    if key not in _BESIDE:
        _BESIDE[key] = beside(state, job, at, shop)
    return _BESIDE[key]


class QuietSound:
    """A device that works and remembers what was asked of it."""

    def __init__(self, works: bool = True, speaks: bool = False) -> None:
        self._works, self._speaks = works, speaks
        self.spoken = False
        self.calls: list[object] = []
        self.checks = self.knocks = 0
        self.plays_on = True
        self.volume = 1.0
        self.ended: Callable[[bool], None] = lambda complete: None

    def works(self) -> bool:
        return self._works

    def why(self) -> str:
        return "" if self._works else "No loudspeaker is there; plug one in."

    def short_why(self) -> str:
        return "" if self._works else "no loudspeaker"

    def call(self, call: object) -> None:
        self.calls.append(call)

    def knock(self) -> None:
        self.knocks += 1

    def check(self, ended: Callable[[bool], None]) -> None:
        self.checks += 1
        self.ended = ended
        if self.plays_on:
            ended(True)

    def set_volume(self, volume: float) -> None:
        self.volume = volume

    def speak(self, on: bool) -> str:
        self.spoken = on and self._speaks
        return "" if self._speaks or not on else "No voice is installed."


class RunnerAtOnce(ReportRunner):
    """Writes one empty sheet and says that the record is written: what counts is what the wall makes of it."""

    def write(self, job: JobId, day: date, at: datetime) -> None:
        self.folder.mkdir(exist_ok=True)
        sheet = QPdfWriter(str(self.folder / f"{file_name(job)}-{day.isoformat()}.pdf"))
        QPainter(sheet).end()
        self.written.emit()


class Walled:
    """A wall with what fills its pages; every press is a real mouse press in the middle of a visible button."""

    def __init__(
        self,
        hand: HandBay,
        size: tuple[int, int],
        theme: str,
        inch: float,
        sound: QuietSound,
        runner: ReportRunner,
        zone_now: ZoneNow | None = None,
        asks_who: bool = False,
    ) -> None:
        self.hand = hand
        self.look = Look(PALETTES[theme], measure_of(None, *size, inch))
        self.wall = Wall(hand.bay, self.look, UTC, zone_now=zone_now, asks_who=asks_who)
        self.sound = sound
        self.wall.voice.begin(sound)
        jobs = hand.store / "jobs"
        jobs.mkdir(exist_ok=True)
        self.openers = Openers(self.wall, jobs, runner)
        self.wall.pages.wanted.connect(self.openers.table.open)
        self.wall.resize(*size)
        self.wall.show()
        self.wall.refresher.refresh()
        QCoreApplication.processEvents()

    def swap_theme(self) -> None:
        self.look.use_theme(next_theme(self.look.palette.name).name)
        self.wall.theme_changed()

    @property
    def mm(self) -> float:
        """How many millimetres a pixel is."""
        return 1 / self.look.measure.px_per_mm

    def let_keys_through(self) -> None:
        """Wait until the keys that might have been a scan have been passed on."""
        for _round in range(1_000):
            if not self.openers.scanner.holds_back:
                return
            QTest.qWait(10)
        raise AssertionError("a key is held back for good")

    def press(self, button: QAbstractButton) -> None:
        assert button.isVisible(), f"{button.text()!r} cannot be seen"
        assert button.isEnabled()
        QTest.mouseClick(button, Qt.MouseButton.LeftButton, pos=button.rect().center())
        QCoreApplication.processEvents()

    def touch(self, zone: str) -> None:
        """Touch the drawn car where a zone is."""
        QTest.mouseClick(
            self.wall.car, Qt.MouseButton.LeftButton, pos=self.wall.car.zone_centre(ZoneId(zone)).toPoint()
        )

    def choose(self, title: str) -> None:
        """Press the choice whose words begin so."""
        words = _(title), capital(_(title))
        found = [b for b in self.wall.pages.choices.buttons if b.isVisible() and b.title.startswith(words)]
        assert len(found) == 1, [b.title for b in self.wall.pages.choices.buttons if b.isVisible()]
        self.press(found[0])

    def hold_choice(self, title: str) -> None:
        """Keep the finger on the choice whose words begin so, as long as a hold takes."""
        (found,) = [b for b in self.wall.pages.choices.buttons if b.isVisible() and b.title.startswith(_(title))]
        middle = found.rect().center()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(glove_button, "HOLD_MS", 1)
            held = QSignalSpy(found.held)
            QTest.mousePress(found, Qt.MouseButton.LeftButton, pos=middle)
            assert held.wait(5_000), f"{title!r} is not to be held"
            QTest.mouseRelease(found, Qt.MouseButton.LeftButton, pos=middle)
        QCoreApplication.processEvents()

    def choose_last(self, title: str) -> None:
        """Press the last choice of this name: a job file, where a car of the same name is inside."""
        self.press([b for b in self.wall.pages.choices.buttons if b.isVisible() and b.title == title][-1])

    def choices(self) -> list[str]:
        return (
            [b.title for b in self.wall.pages.choices.buttons if b.isVisible()]
            if self.wall.pages.choices.isVisible()
            else []
        )

    def details(self) -> list[str]:
        """What stands under the words of each choice."""
        return [b.detail for b in self.wall.pages.choices.buttons if b.isVisible()]

    def sentences(self) -> str:
        """What the choice page says, beside its buttons."""
        return " ".join(self.wall.pages.choices.sentences)

    def wait(self, seconds: float) -> None:
        """Let time pass and let the wall see it."""
        self.hand.wait(seconds)
        self.wall.refresher.refresh()
        QCoreApplication.processEvents()

    def answer_all(self) -> None:
        self.hand.update_alerts()
        self.hand.bay.alerts.acknowledge([a.condition.subject for a in self.hand.bay.alerts.unanswered()])
        self.wall.refresher.refresh()

    def events(self) -> int:
        return len(self.hand.journal.read())

    def turn_to(self, page: str) -> None:
        """Open a page the way the wall itself does."""
        wall = self.wall
        wall.voice.begin(self.sound)
        self.openers.lock.unlock()
        wall.pages.show_board()
        if page != "alert":
            self.answer_all()
        if page in ("ladder", "refused", "reason", "correct", "correct-unmoved", "aside"):
            wall.pages.show_ladder(
                wall.selection.job, (ZoneId("glass-right-front" if page == "ladder" else "windscreen"),)
            )
        if page == "choices":
            self.wait(71)
            self.answer_all()
            wall.pages.show_ladder(wall.selection.job, (ZoneId("windscreen"),))
        if page == "no-sound":
            wall.voice.begin(QuietSound(works=False))
            wall.refresher.refresh()
            page = "sound"
        if page == "clock-asked":
            self.hand.doubt_the_time()
            page = "clock"
        if page in LABELS:
            self.openers.scanner.scanned.emit(LABELS[page])
        elif page.startswith(TAKE_MORE) or page.endswith(("-aside", "-typed", "-ripening")):
            self._go_to(page)
        elif page not in ("board", "alert", "ladder", "choices", "refused"):
            if page == Page.SENSORS and Page.SENSORS not in self.openers.table:
                self.openers.add_sensors(self._sensors().open)
            wanted = page.removesuffix("-empty").removesuffix("-unmoved")
            wall.pages.want(self._wanted(wanted))
        self.fill_in(page)
        QCoreApplication.processEvents()

    def _sensors(self) -> SensorsController:
        """Return what shows the sensors of a shop that has two, neither heard yet."""
        sensors = [
            SensorSettings.model_validate(
                {"id": name, "name": f"sensor at the {name} door", "kind": "iio", "device": "bay"}
            )
            for name in ("large", "small")
        ]
        return SensorsController(self.wall.selection, sensors, self.wall)

    def _wanted(self, page: str) -> Wanted:
        """Return what opens a page, with the longest that may go with it."""
        job, zones = self.wall.selection.job, self.wall.selection.zones
        assert job
        if page == "reason":
            action = self.wall.ladder_bar.action
            assert isinstance(action, Start | FinishStep)
            return WhyCarryOn(action)
        wanted: dict[str, Wanted] = {
            "zones": WhichZone(job, tuple(c.zone for c in self.hand.clocks()[:6])),
            "bottle": ShowBottle(BottleId("bottle-3")),
            "correct": CorrectTimes(job, zones),
            "aside": WhyAside(job, zones),
            "note": NoteAbout(job),
            "unworked": UnworkedZone(job, ZoneId("grille")),
            "where": WhereStands(job),
            "cure-where": CureWhere(job),
            "got-wet": WhichGotWet(job),
            "spot-card": FillSpotCard(job, (ZoneId("bonnet"),), StepId("polish")),
            "look-at": LookAt(job, tuple(self.hand.bay.state.jobs[job].zones)[:6]),
            "again-from": AgainFrom(job, tuple(self.hand.bay.state.jobs[job].zones)[:1], Fault.HIGH_SPOT),
            "got-wet-when": GotWetWhen(job, (next(iter(self.hand.bay.state.jobs[job].zones)),)),
            "marks": MarkZones(job, (ZoneId("bonnet"), ZoneId("mirror-left"))),
            "mark-place": MarkZones(job, (ZoneId("bonnet"),)),
            "thickness": MeasurePaint(job, ZoneId("quarter-left")),
            "photo-zones": ChoosePhotoZone(job),
            "photos": ShowPhotos(job, ZoneId("door-right-front")),
            "recipe": ShowRecipe("paint-one-layer"),
            "help-topic": ShowTopic("first-day"),
            "recipe-edit": EditRecipe("paint-two-layers"),
        }
        return wanted.get(page) or Page(page)

    def _go_to(self, page: str) -> None:
        """Open a page that takes more than its name."""
        if page == "hours":
            self.wall.pages.want(Page.HOURS)
            stretches = StretchCount(2), 0
            self.press(next(p.buttons[stretches] for p in self.wall.findChildren(CellsPage) if stretches in p.buttons))
        elif page == "left-car":
            self._let_a_car_leave()
        elif page.startswith("plan"):
            self.open_plan(page)
        elif page.endswith("-ripening"):
            self._ripen(page.removesuffix("-ripening"))
        elif page.startswith("air"):
            self._open_air(page)
        elif page.startswith(("work", "begin", "dividing")):
            self.new_car(page)
        elif page.startswith("change"):
            self._change(page)
        elif page.startswith("report"):
            self._open_record(written=page == "report-written")
        elif page.endswith("-typed"):
            self.wall.pages.want(ShowBottle(BottleId("bottle-3")))
            self.choose("How much is left?" if page == "bottle-typed" else "The batch is wrong")
        else:
            self.set_aside(to_ladder=page == "ladder-aside")

    def fill_in(self, page: str) -> None:
        """Type on a page of entries the longest that it may have to show."""
        if page in ("air", "air-wrong"):
            (keypad,) = self.wall.findChildren(AirEntryPage)
            for key in ("-", "2", "1", ".", "5", "next", "4", "8", "next", "-", "3", "9", ".", "5"):
                self.press(keypad.keys[key])
        elif page in ("thickness", "photos", "marks", "mark-place"):
            self._fill_in_arrival(page)
        elif page.endswith("-typed"):
            (typing,) = self.wall.findChildren(TypingPage)
            for key in "1234" if page == "bottle-typed" else "WWWWWMMMMMWWWWWMMMMM":
                self.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
        elif page == "label-compared":
            self.choose("Orrelin Glass Coat")
            self.choose("1,000 ml")
        elif page == "label-doubted":
            self.choose("Orrelin Glass Coat")
        elif page == "help-topic":
            (manual,) = self.wall.findChildren(ManualPage)
            self.press(manual.on)  # from here both buttons lead somewhere
        elif page == "correct":
            (corrected,) = self.wall.findChildren(CorrectionPage)
            self.press(corrected.shifts["start", 5])

    def _fill_in_arrival(self, page: str) -> None:
        if page == "thickness":
            self._measure()
        elif page == "photos":
            self._photograph()
        else:
            self._mark(placed=page == "mark-place")

    def _mark(self, placed: bool) -> None:
        """Leave the page at a mark that can be taken back, or at a damage whose place is touched."""
        marks = self.openers.marks
        marks.page.toggled.emit("damage")
        if placed:
            self.choose("crack")
            marks.place.zone.touched.emit(250.0, 300.0)
        else:
            self.choose("high spot of an old coat")
            marks.page.zones_touched.emit([ZoneId("bonnet")])

    def _photograph(self) -> None:
        """Add two photos of each phase, whose small pictures are still to be made."""
        car = self.wall.selection.car
        assert car
        phases: tuple[Phase, ...] = ("arrival", "later", "arrival", "later")
        for number, phase in enumerate(phases):
            self.wall.request_sender.send(
                AddPhoto(
                    car.job.id, ZoneId("door-right-front"), f"{number:064x}", "jpeg", 900, phase, self.wall.selection.by
                )
            )
        self.openers.photos.page.next_wanted.emit("later")

    def _measure(self) -> None:
        """Measure all painted zones, one of them thin and unlike its neighbours, and type what cannot be."""
        car = self.wall.selection.car
        assert car
        painted = [ZoneId(zone.id) for zone in car.job.vehicle.zone if zone.surface == "paint"]
        read = tuple((zone, (1_112.5, 1_118.5, 1_109.5)) for zone in painted)
        self.wall.request_sender.send(ReadThickness(car.job.id, (*read, (ZoneId("quarter-left"), (72.5,) * 15))))
        (page,) = self.wall.findChildren(ThicknessPage)
        for key in "9999.5":
            self.press(page.keys[key])

    def _let_a_car_leave(self) -> None:
        """Turn to a car that was in the bay for a moment."""
        gone = practice_job().model_copy(update={"id": JobId("gone"), "start": self.hand.bay.now()})
        if self.hand.bay.clock_watch.unsure:
            self.hand.settle_the_time()
        self.hand.bay.open_job(gone)
        assert self.hand.bay.request(CloseJob(gone.id)).accepted
        self.wall.pages.want(ShowPastCar(gone.id))

    def set_aside(self, to_ladder: bool) -> None:
        """Set zones aside, and turn to the ladder where one of them can be taken up again, or stay at the car."""
        wall = self.wall
        assert wall.selection.job
        for zone in ("windscreen", "bonnet"):
            wall.request_sender.send(
                SetAside(wall.selection.job, (ZoneId(zone),), aside_reasons()[-1], wall.selection.by)
            )
        if to_ladder:
            wall.pages.show_ladder(wall.selection.job, (ZoneId("windscreen"),))

    def _ripen(self, page: str) -> None:
        """Turn to a car whose waits hang on the air, just after a reading has moved them."""
        bay, wall = self.hand.bay, self.wall
        if RIPENING not in bay.state.jobs:
            if bay.clock_watch.unsure:
                self.hand.settle_the_time()
            bay.request(ReadAir(20.0, 50.0))
            bay.open_job(ripening_job(bay.now()))
            for zone in ("glass-right-quarter", "tailgate", "rim-rear-right"):
                laid = FinishStep(RIPENING, (ZoneId(zone),), StepId("coat-1"), Person("Ash"), "the floor was wet")
                assert bay.request(laid).accepted
            self.wait(30)
        at_c = 11.5 if bay.state.air and bay.state.air.air_c > 12 else 17.5
        assert bay.request(ReadAir(at_c, 72.5, at_c)).accepted
        self.answer_all()
        wall.pages.show_car(RIPENING)
        if page == "ladder":
            wall.pages.show_ladder(RIPENING, (ZoneId("glass-right-quarter"),))
        elif page == "air":
            wall.pages.want(Page.AIR_DAY)

    def _open_air(self, page: str) -> None:
        """Turn to the air page with the longest that it may have to say: nothing is fit, or nobody knows."""
        bay = self.hand.bay
        if page == "air-wrong":
            self.wall.pages.want(CorrectReading(bay.state.readings[-1]))
            return
        bay.request(SetUpBay(3.0, 40.0, 1.0, 3.0))
        if page == "air-unfit":
            bay.request(ReadAir(-5.5, 96.4, -7.5))
        else:
            self.wait(31 * 60)
            self.answer_all()
        self.wall.pages.want(Page.AIR_DAY)

    def new_car(self, page: str) -> None:
        """Turn to a new car, nothing chosen ("work-empty"), or all glass ("work"), or to its last page ("begin")."""
        controller = self.openers.new_job
        self.wall.pages.want(Page.NEW_CAR)
        self.press(next(b for b in controller.forms.buttons if b.title.startswith(_("Estate"))))
        if page == "work-empty":
            return
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(new_job_controller, "beside", beside_at_once)
            self._cut_or_begin(controller, page)

    def _cut_or_begin(self, controller: NewJobController, page: str) -> None:
        self.press(controller.work.sets[0])
        if page.startswith("dividing"):
            self.press(controller.work.zones)
        if page == "dividing-cut":
            assert controller.dividing.page
            controller.dividing.page.zones_touched.emit([ZoneId("bumper-front")])
            self.press(controller.dividing.page.along)
        if page == "begin":
            self.press(controller.work.next)
            self.press(controller.begin.promise)

    def _change(self, page: str) -> None:
        """Turn to what changes the job: work added, or zones chosen for another recipe, the recipes, the reasons."""
        controller = self.openers.change
        self.wall.pages.want(Page.CHANGE)
        self.choose("Add work" if page == "change-add" else "Another recipe")
        if page == "change-add":
            controller.page.toggled.emit("grille")
            return
        controller.page.toggled.emit("rear-screen" if page == "change-why" else "windscreen")
        if page != "change-zones":
            self.press(controller.page.next)
        if page == "change-why":
            self.choose("Glass, three layers")

    def _open_record(self, written: bool) -> None:
        self.wall.pages.want(Page.MORE)
        self.choose("Day record")
        if written:
            self.choose("Today")

    def open_plan(self, page: str = "plan") -> None:
        """Turn to the plan of a whole day, by person or by zone; "plan-none" is a bay that has none.

        "plan-ways" is a plan with which something is wrong, and three ways out.
        """
        bay = self.hand.bay
        if page == "plan-ways":
            bay.advice.take_order(troubled(day_order(bay.state, bay.now())))
            self.wall.pages.want(Page.PLAN)
            return
        bay.advice.take_order(None if page == "plan-none" else day_order(bay.state, bay.now()))
        self.wall.pages.want(Page.PLAN)
        (shown,) = self.wall.findChildren(PlanPage)
        if shown.by_person is (page == "plan-zones"):
            self.press(shown.rows_button)
        if page == "plan-day":
            self.press(shown.day_button)

    def box(self, widget: QWidget) -> QRect:
        """Where a widget stands on the wall, in pixels."""
        return QRect(widget.mapTo(self.wall, QPoint(0, 0)), widget.size())

    def box_mm(self, widget: QWidget) -> QRectF:
        box = QRectF(self.box(widget))
        return QRectF(box.x() * self.mm, box.y() * self.mm, box.width() * self.mm, box.height() * self.mm)

    def targets(self) -> list[QAbstractButton]:
        """Every button that a glove could press now."""
        return [b for b in self.wall.findChildren(QAbstractButton) if b.isVisible() and b.isEnabled()]

    def close(self) -> None:
        self.wall.close()
        self.wall.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        QCoreApplication.processEvents()


@contextmanager
def walled(
    hand: HandBay,
    size: tuple[int, int] = FULL_HD,
    theme: str = "dark",
    inch: float = 27,
    sound: QuietSound | None = None,
    runner: ReportRunner | None = None,
    zone_now: ZoneNow | None = None,
    asks_who: bool = False,
) -> Iterator[Walled]:
    """Hang a wall, and take it down again. Presses count at once unless a test sets ``SETTLE_MS`` back."""
    assert QApplication.instance()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(glove_button, "SETTLE_MS", 0)
        runner = runner or RunnerAtOnce(hand.store)
        found = Walled(hand, size, theme, inch, sound or QuietSound(), runner, zone_now, asks_who)
        try:
            yield found
        finally:
            found.close()
