"""A car moved by one touch from its board, and water beside another car asked about, by real presses."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.job import FinishStep, Job, MoveCar, SetUpPlaces
from bayapp.job.model.ids import JobId, PlaceId, StepId, ZoneId
from bayapp.job.model.job import WorkBlock
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.events import CarMoved, CarMoveUndone, GotWet, SplashAnswered, StepStarted, ZonePassed
from bayapp.pages.board.bays import bays
from bayapp.pages.board.ladder import ladder
from bayapp.pages.wanted import Page
from bayapp.screen.board.bays import BaysPage
from bayapp.screen.cars.new_job_work import WorkPage
from tests.job.builders import recipe, step
from tests.job.gate.places import BAYS
from tests.pages.bays import ASH, hand_bay
from tests.report.shop import practice_job
from tests.screen.walls import Walled, walled

DRY, WET = JobId("dry"), JobId("wet")
RIM, PANE = ZoneId("rim-front-left"), ZoneId("windscreen")
KEPT_DRY = recipe(step("wipe"), step("coat"), step("buff"), name="kept-dry", finish={"keep_dry_hours": 12})
WASH = recipe(step("wash", kind="decontaminate", title="wash"), name="wash")


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Walled]:
    """A car whose pane must be kept dry and one whose rim is to be washed, side by side."""
    with hand_bay(tmp_path, cars=0) as hand:
        for job, title, zone, ladder in ((DRY, "Red car", PANE, KEPT_DRY), (WET, "White van", RIM, WASH)):
            work = (WorkBlock(zones=(zone,), recipe=ladder),)
            plain = practice_job().model_dump() | {"id": job, "title": title, "blocks": work, "crew": (ASH,)}
            hand.bay.open_job(Job.model_validate(plain | {"start": hand.bay.now()}))
        for name in ("wipe", "coat", "buff"):
            assert hand.bay.request(FinishStep(DRY, (PANE,), StepId(name), ASH)).accepted
        with walled(hand) as wall:
            wall.answer_all()
            wall.wall.pages.show_car(WET)
            yield wall


def last(wall: Walled) -> object:
    return wall.hand.journal.read()[-1]


def place(wall: Walled, job: JobId) -> PlaceId | None:
    return wall.hand.bay.state.jobs[job].place


def test_bays_are_named_on_the_settings_and_the_board_then_tells_where_the_car_stands(two: Walled):
    assert not two.wall.car.stands.isVisible()
    two.wall.pages.want(Page.NAMED_BAYS)
    for _number in range(2):
        two.choose("Add a bay")
    two.choose("Bay 1 – Bay 2")
    assert two.choices() == ["Add a bay", "Bay 1", "Bay 1 | Bay 2", "Bay 2"]
    two.wall.pages.show_board()
    two.wall.refresher.refresh()
    assert two.wall.car.stands.title == "where?"
    two.press(two.wall.car.stands)
    two.choose("Bay 2")
    assert place(two, WET) == "bay-2"
    assert two.wall.car.isVisible()
    assert two.wall.car.stands.title == "Bay 2"


def test_a_move_is_taken_back_where_it_was_made(two: Walled):
    two.hand.bay.request(SetUpPlaces(BAYS))
    two.wall.refresher.refresh()
    for title, kind, stands in (("Front bay", CarMoved, "bay-1"), ("Undo the move", CarMoveUndone, None)):
        two.press(two.wall.car.stands)
        two.choose(title)
        assert isinstance(last(two), kind)
        assert place(two, WET) == stands


def test_all_cars_tell_where_they_stand_and_are_moved_from_there(two: Walled):
    two.hand.bay.request(SetUpPlaces(BAYS))
    two.hand.bay.request(MoveCar(DRY, PlaceId("bay-1")))
    two.wall.pages.want(Page.BAYS)
    (page,) = two.wall.findChildren(BaysPage)
    assert [b.title for b in page.places if b.isVisible()] == ["Front bay", "where?"]
    two.press(page.places[0])
    assert two.choices()[:3] == ["Front bay", "Back bay", "Hold for 2 s: Outside"]
    two.hold_choice("Hold for 2 s: Outside")
    assert place(two, DRY) == OUTSIDE
    assert [b.title for b in page.places if b.isVisible()] == ["Outside", "where?"]


def test_water_beside_another_car_is_begun_with_one_answer(two: Walled):
    two.press(two.wall.next_bar.main)
    assert two.choices() == ["Yes, out of reach", "No, water gets there", "Move White van"]
    two.choose("Yes")
    answered, started = two.hand.journal.read()[-2:]
    assert isinstance(answered, SplashAnswered)
    assert (answered.job, answered.of, answered.zones, answered.out_of_reach) == (WET, DRY, (PANE,), True)
    assert isinstance(started, StepStarted)
    assert (started.job, started.zone, started.deviation) == (WET, RIM, None)
    assert two.wall.car.isVisible()


def test_who_says_no_is_told_until_when_and_may_answer_anew(two: Walled):
    two.press(two.wall.next_bar.main)
    two.choose("No")
    answered = last(two)
    assert isinstance(answered, SplashAnswered)
    assert not answered.out_of_reach
    two.wall.pages.show_ladder(WET, (RIM,))
    two.wall.refresher.refresh()
    assert two.wall.ladder_bar.main.title == "Not yet: wash"
    assert two.wall.ladder_bar.main.detail.startswith("Windscreen of Red car must be kept dry until")


def test_the_wet_car_is_moved_from_the_question(two: Walled):
    two.press(two.wall.next_bar.main)
    two.choose("Move White van")
    two.choose("Outside")
    assert place(two, WET) == OUTSIDE
    two.wall.pages.show_board()
    two.press(two.wall.next_bar.main)
    assert isinstance(last(two), StepStarted)


def test_a_car_is_moved_out_to_cure_gets_wet_is_looked_at_and_comes_back_in(two: Walled):
    two.hand.bay.request(SetUpPlaces(BAYS))
    two.hand.bay.request(MoveCar(DRY, PlaceId("bay-1")))
    two.wall.pages.show_car(DRY)
    two.wall.refresher.refresh()
    two.press(two.wall.car.stands)
    two.choose("Moved out, still curing")
    two.choose("In the hall next door")
    car = two.hand.bay.state.jobs[DRY]
    assert (car.place, car.curing, car.spot) == (OUTSIDE, True, "in the hall next door")
    assert two.wall.car.stands.title == "In the hall next door"
    faces = {face.job: face for face in bays(two.hand.bay.state, (), two.hand.clocks(), DRY)}
    assert [faces[job].short_name for job in (DRY, WET)] == ["1 Red car, In the hall next door", "2 White van"]

    two.press(two.wall.car.stands)
    assert "Cures: In the hall next door" in two.choices()
    two.choose("It got wet")
    page = two.wall.findChild(WorkPage)
    assert isinstance(page, WorkPage)
    page.next_wanted.emit()
    two.choose("Now")
    wet = last(two)
    assert isinstance(wet, GotWet)
    assert (wet.zone, wet.wet_at) == (PANE, wet.at)

    two.wall.pages.show_ladder(DRY, (PANE,))
    two.wall.refresher.refresh()
    assert (
        "look for water spots" in ladder(two.hand.bay, DRY, (PANE,), None, two.wall.selection.seen_at(wet.at)).subtitle
    )
    two.press(next(b for b in two.wall.ladder.aids if b.title == "Seen: good"))
    assert isinstance(last(two), ZonePassed)

    two.wall.pages.show_car(DRY)
    two.wall.refresher.refresh()
    two.press(two.wall.car.stands)
    two.choose("Front bay")
    assert not two.hand.bay.state.jobs[DRY].curing
