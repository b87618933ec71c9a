"""Paints a page of the wall into a picture file, for help and tests; needs no display."""

import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import QApplication

from bayapp.bay import Bay
from bayapp.clock import BayClock, HandReadings
from bayapp.drawing.palette import PALETTES
from bayapp.files.shop.settings import Settings, set_up_bay
from bayapp.job import CloseJob, Event, FinishStep, Job, Mark, MarkKind, ReadThickness, SetMark, Start
from bayapp.job.model.ids import JobId, Motion, StepId, ZoneId
from bayapp.job.spots import polish_of
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.board.phrases import leaving_reasons
from bayapp.pages.recipes.product_sheet import Sheet
from bayapp.pages.wanted import (
    ChoosePhotoZone,
    CorrectReading,
    CureWhere,
    EditRecipe,
    LookAt,
    MarkZones,
    MeasurePaint,
    Page,
    ShowBottle,
    ShowPastCar,
    ShowPhotos,
    ShowRecipe,
    ShowTopic,
    UnworkedZone,
    WhereStands,
    WhichGotWet,
    WhyCarryOn,
)
from bayapp.planning.core.effort import Effort
from bayapp.practice import play_practice
from bayapp.record import open_journal
from bayapp.screen.bay_opening import with_practice_bay
from bayapp.screen.cars.change_controller import ChangeController, ChangeKind
from bayapp.screen.cars.new_job_controller import NewJobController
from bayapp.screen.openers import Openers
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.recipes.recipes_controller import RecipesController
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import measure_of
from bayapp.screen.widgets.typeset import load_fonts
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _
from bayapp.time_zone import local_zone

SCENES = (
    "board",
    "ladder",
    "alert",
    "left-car",
    "work",
    "begin",
    "dividing",
    "change-add",
    "change-recipes",
    "note",
    "unworked",
    "reason",
    "zones",
    "where",
    "cure-where",
    "got-wet",
    "look-at",
    "spot-card",
    "air-wrong",
    "correct",
    "aside",
    "bottle",
    "recipe",
    "recipe-edit",
    "help-topic",
    "thickness",
    "marks",
    "photo-zones",
    "photos",
)
"""What can be shown beside the pages that open by their name."""
PAGES = (*SCENES, *(page.value for page in Page if page is not Page.SENSORS))  # of sensors a scene has none
PLAN_SECONDS = 2.0
MEASURED = ((118.0, 121.0, 117.0), (104.0, 72.0, 111.0), (126.0, 131.0), (242.0, 251.0), (109.0, 113.0, 116.0))
"""Readings of invented paint, µm, zone after zone."""


class SilentSound:
    """A silent sound device, for pictures."""

    spoken = False

    def works(self) -> bool:
        """It always does."""
        return True

    def why(self) -> str:
        """What it says of itself."""
        return ""

    def short_why(self) -> str:
        """What it says of itself."""
        return ""

    def call(self, call: object) -> None:
        """Stay silent."""

    def knock(self) -> None:
        """Stay silent."""

    def check(self, ended: Callable[[bool], None]) -> None:
        """Stay silent."""

    def set_volume(self, volume: float) -> None:
        """Stay silent."""

    def speak(self, on: bool) -> str:
        """Stay silent."""
        return ""


class NothingToShow(Exception):  # noqa: N818 - the words shown to a person
    """The page has nothing to show in this bay, or the picture cannot be written; the text says what would be right."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What has happened up to an instant; without a job, the practice car at its opening."""

    job: Job | None = None
    events: Sequence[Event] = ()
    at: datetime | None = None


def paint_picture(
    out: Path,
    scene: Scene,
    page: str = "board",
    size: tuple[int, int] = (1920, 1080),
    theme: str = "dark",
    zone: str = "",
) -> None:
    """Paint a page of a scene.

    ``page`` is one of ``PAGES``; "ladder" opens ``zone``, or the most urgent zone.

    Raises:
        NothingToShow: there is nothing of that kind in the scene, or the picture cannot be written.
    """
    app = offscreen_application()
    with tempfile.TemporaryDirectory(prefix="bayapp-picture-") as folder:
        journal = open_journal(Path(folder))
        try:
            wall = _wall(Bay(journal, _clock(scene)), scene, size, theme, Path(folder) / "jobs")
            try:
                wall.resize(*size)
                _paint(wall, out, page, zone)
            finally:
                wall.close()
                wall.deleteLater()
                app.processEvents()
        finally:
            journal.close()


def _paint(wall: Wall, out: Path, page: str, zone: str) -> None:
    _turn_to(wall, page, zone)
    wall.show()
    QApplication.processEvents()
    wall.refresher.refresh()
    wall.refresher.tell_costs()
    if not wall.grab().save(str(out)):
        raise NothingToShow(
            _("{file} cannot be written; give a file name that ends in .png in a folder that exists").format(file=out)
        )


def offscreen_application() -> QApplication:
    """Return the application object; without a display it paints into memory."""
    if sys.platform == "linux" and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication(["bayapp"])
    assert isinstance(app, QApplication)
    load_fonts()
    return app


def _clock(scene: Scene) -> BayClock:
    """Return a clock that does not advance."""
    moment = scene.at or (scene.events[-1].at if scene.events else BayClock.at_wall().now())
    return BayClock(moment, HandReadings("picture", 0, 0))


def _wall(bay: Bay, scene: Scene, size: tuple[int, int], theme: str, jobs: Path) -> Wall:
    if scene.job is None:
        play_practice(bay, bay.now())
        bay.request(set_up_bay(with_practice_bay(Settings()), local_zone()))
    else:
        bay.restore(scene.events)
    look = Look(PALETTES[theme], measure_of(None, *size))
    wall = Wall(bay, look, local_zone())
    wall.voice.begin(SilentSound())
    wall.pages.wanted.connect(Openers(wall, jobs, ReportRunner(jobs.parent)).table.open)
    return wall


def _turn_to(wall: Wall, page: str, zone: str) -> None:
    bay = wall.selection.bay
    at = bay.now()
    clocks = bay.clocks(at)
    bay.alerts.update(at, clocks)
    if page != "alert":
        bay.alerts.acknowledge([a.condition.subject for a in bay.alerts.unanswered()])
    if page in ("board", "alert"):
        return
    if page in ("ladder", "reason", "correct", "aside"):
        _open_ladder(wall, zone)
    ways: dict[str, Callable[[], None]] = {
        "ladder": lambda: None,
        "reason": lambda: _ask_why(wall),
        "correct": wall.ladder_bar.correct.click,
        "aside": wall.ladder_bar.aside.click,
        "note": wall.ladder_bar.note_wanted.emit,
        "unworked": lambda: _outside(wall),
        "zones": lambda: wall.car.touched.emit([c.zone for c in clocks[:6]]),
        "left-car": lambda: _left_car(wall),
        "where": lambda: _ask_where(wall),
        "cure-where": lambda: wall.pages.want(CureWhere(_the_car(wall))),
        "spot-card": lambda: _try_spot(wall),
        "look-at": lambda: wall.pages.want(LookAt(_the_car(wall), _worked(wall))),
        "got-wet": lambda: wall.pages.want(WhichGotWet(_the_car(wall))),
        "work": lambda: _new_car(wall, page),
        "begin": lambda: _new_car(wall, page),
        "dividing": lambda: _new_car(wall, page),
        "change-add": lambda: _change(wall, page),
        "change-recipes": lambda: _change(wall, page),
        "plan": lambda: _plan(wall, at),
        "air-wrong": lambda: _correct_air(wall),
        "bottle": lambda: _open_bottle(wall),
        "recipe": lambda: wall.pages.want(ShowRecipe("paint-one-layer")),
        "help-topic": lambda: wall.pages.want(ShowTopic("first-day")),
        "recipe-edit": lambda: _change_recipe(wall),
        "sheet": lambda: _take_sheet_down(wall),
        "thickness": lambda: _measure(wall),
        "marks": lambda: _mark(wall),
        "photo-zones": lambda: wall.pages.want(ChoosePhotoZone(_the_car(wall))),
        "photos": lambda: wall.pages.want(ShowPhotos(_the_car(wall))),
    }
    way = ways.get(page)
    if way:
        way()
    else:
        wall.pages.want(Page(page))


def _the_car(wall: Wall) -> JobId:
    """Return the car in view."""
    if wall.selection.job is None:
        raise NothingToShow(_("there is no car in the bay that could be looked at; give a job"))
    return wall.selection.job


def _outside(wall: Wall) -> None:
    """Touch the first zone that is not worked."""
    car = wall.selection.bay.state.jobs[_the_car(wall)]
    outside = next((zone for zone in car.job.zone_names if zone not in car.zones), None)
    if outside is None:
        raise NothingToShow(_("every zone of this car is worked; give a job with fewer"))
    wall.pages.want(UnworkedZone(car.job.id, outside))


def _measure(wall: Wall) -> None:
    """Measure the paint of the car in view, some of it thin, some likely repainted, and choose a zone."""
    job = _the_car(wall)
    vehicle = wall.selection.bay.state.jobs[job].job.vehicle
    painted = [ZoneId(zone.id) for zone in vehicle.zone if zone.surface == "paint"]
    read = ((zone, MEASURED[place % len(MEASURED)]) for place, zone in enumerate(painted[:-2]))
    wall.selection.bay.request(ReadThickness(job, tuple(read)))
    wall.pages.want(MeasurePaint(job, painted[1]))


def _try_spot(wall: Wall) -> None:
    """Begin the card of a test spot for the first polish of paint on the car in view."""
    job = _the_car(wall)
    car = wall.selection.bay.state.jobs[job]
    for zone in car.zones:
        for step in car.job.recipe_of(zone).step:
            if polish_of(car, (zone,), StepId(step.id)):
                wall.pages.want(FillSpotCard(job, (zone,), StepId(step.id)))
                return
    raise NothingToShow(_("no paint of this car is polished; give a job"))


def _worked(wall: Wall) -> tuple[ZoneId, ...]:
    """Return the zones of the first work block of the car in view."""
    return wall.selection.bay.state.jobs[_the_car(wall)].job.blocks[0].zones


def _mark(wall: Wall) -> None:
    """Mark a zone of the car in view, and choose another."""
    job = wall.selection.job
    if job is None:
        raise NothingToShow(_("there is no car in the bay that could be marked; give a job"))
    first, second, *_others = wall.selection.bay.state.jobs[job].job.zone_names
    wall.selection.bay.request(SetMark(job, (first,), Mark(kind=MarkKind.MATT)))
    wall.pages.want(MarkZones(job, (second,)))


def _ask_why(wall: Wall) -> None:
    """Ask why the ladder's step is carried on with, whether it is refused or not."""
    action = wall.ladder_bar.action
    if isinstance(action, Start | FinishStep):
        wall.pages.want(WhyCarryOn(action))


def _ask_where(wall: Wall) -> None:
    """Ask where the car that is shown stands."""
    if wall.selection.job is None:
        raise NothingToShow(_("there is no car in the bay that could be moved; give a job"))
    wall.pages.want(WhereStands(wall.selection.job))


def _left_car(wall: Wall) -> None:
    """Let the car that is shown leave, and show it as it left."""
    if wall.selection.job is None:
        raise NothingToShow(_("there is no car in the bay that could leave; give a job"))
    wall.selection.bay.request(CloseJob(wall.selection.job, deviation=leaving_reasons()[0]))
    wall.pages.want(ShowPastCar(wall.selection.job))


def _new_car(wall: Wall, page: str) -> None:
    """Choose a form, all glass and the rims, and stop there, or where zones are divided, or at the last page."""
    wall.pages.want(Page.NEW_CAR)
    (controller,) = wall.findChildren(NewJobController)
    controller.forms.chosen.emit("hatchback")
    for name in ("all-glass", "rims", "rim-front-left"):
        controller.work.toggled.emit(name)
    if page == "dividing":
        controller.work.zones_wanted.emit()
        assert controller.dividing.page
        controller.work.toggled.emit("bonnet")
        controller.dividing.page.zones_touched.emit([ZoneId("bonnet")])
        controller.dividing.page.cut_wanted.emit("along")
        controller.dividing.page.zones_touched.emit([ZoneId("bumper-front")])
        controller.dividing.page.cut_wanted.emit("along")
        controller.dividing.page.moved.emit(2)
    if page == "begin":
        controller.work.next_wanted.emit()
        controller.begin.colour_chosen.emit("green")
        controller.begin.promise_toggled.emit()


def _change(wall: Wall, page: str) -> None:
    """Choose zones to add to the work, or zones that go on by another recipe, and stop before the answer."""
    wall.pages.want(Page.CHANGE)
    (controller,) = wall.findChildren(ChangeController)
    wall.pages.choices.chosen.emit(ChangeKind.WORK if page == "change-add" else ChangeKind.RECIPE)
    for name in ("trim",) if page == "change-add" else ("rear-screen", "side-glass-left"):
        controller.page.toggled.emit(name)
    if page == "change-recipes":
        controller.page.next_wanted.emit()


def _change_recipe(wall: Wall) -> None:
    """Change the paint's recipe, at its second coat."""
    wall.pages.want(EditRecipe("paint-two-layers"))
    (controller,) = wall.findChildren(RecipesController)
    controller.editing.page.rung_touched.emit(5)


def _take_sheet_down(wall: Wall) -> None:
    """Show a sheet of which the waits are typed and the hours of cure are not."""
    wall.pages.want(Page.RECIPES)
    (controller,) = wall.findChildren(RecipesController)
    controller.sheets.type_on(
        Sheet(
            surface="paint",
            layers=2,
            motions=(Motion.HORIZONTAL, Motion.VERTICAL),
            flash_min=1.0,
            level_within_min=8.0,
            recoat_min=60.0,
            recoat_max=240.0,
        )
    )
    wall.pages.want(Page.SHEET)


def _plan(wall: Wall, at: datetime) -> None:
    """Plan as the planner beside the wall would in its first moments, at any hour, and open the page."""
    from bayapp.planning.from_bay.shop import Shop  # noqa: PLC0415 (loads only where a plan is wanted)
    from bayapp.planning.work import plan_work  # noqa: PLC0415 (see above)

    bay = wall.selection.bay
    bay.advice.take_order(plan_work(bay.state, at, Shop(tz=wall.selection.tz), Effort(PLAN_SECONDS)))
    wall.pages.want(Page.PLAN)


def _correct_air(wall: Wall) -> None:
    readings = wall.selection.bay.state.readings
    if not readings:
        raise NothingToShow(_("the air has not been read, so there is no reading to correct; show the page air"))
    wall.pages.want(CorrectReading(readings[-1]))


def _open_bottle(wall: Wall) -> None:
    bottles = wall.selection.bay.state.shelf.bottles
    if not bottles:
        raise NothingToShow(_("there is no bottle on the shelf to show; show the practice car, or the page shelf"))
    wall.pages.want(ShowBottle(next(iter(bottles))))


def _open_ladder(wall: Wall, zone: str) -> None:
    car = wall.selection.car
    if car is None:
        raise NothingToShow(_("there is no car in the bay, so there is no ladder; give a job"))
    zones = car.job.zones_named(zone) if zone else ()
    if zone and not zones:
        raise NothingToShow(_("there is no worked zone or set {zone!r} in this job").format(zone=zone))
    pressing = wall.column.buttons[0].tile if wall.column.buttons else None
    wall.pages.show_ladder(car.job.id, zones or (pressing.zones if pressing else (next(iter(car.zones)),)))
