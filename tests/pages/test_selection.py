"""Which car is shown, which of its zones are open, and who stands there."""

from datetime import UTC
from pathlib import Path
from zoneinfo import ZoneInfo

from bayapp.job import CloseJob
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.pages.selection import Selection
from bayapp.pages.viewpoint import Viewpoint
from tests.job.builders import job, recipe, step
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay

SECOND = JobId(f"{CAR}-2")
ROOF = (ZoneId("roof"),)


def test_the_first_car_and_the_first_of_its_crew_are_chosen(hand: HandBay):
    chosen = Selection(hand.bay, UTC)
    assert (chosen.job, chosen.by, chosen.zones) == (CAR, ASH, ())
    assert chosen.car is hand.bay.state.jobs[CAR]


def test_an_empty_bay_has_nothing_to_choose(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as empty:
        chosen = Selection(empty.bay, UTC)
        assert (chosen.job, chosen.car, chosen.by) == (None, None, None)


def test_whoever_is_not_of_a_car_s_crew_gives_way_to_its_first(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as two:
        chosen = Selection(two.bay, UTC, BO)
        assert chosen.by == BO
        chosen.turn_to_car(SECOND)
        assert chosen.by == Person("Cy 2")


def test_on_a_car_without_a_crew_nobody_signs_by_a_name_left_over_from_another(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        hand.bay.open_job(job((["roof"], recipe(step("wipe"))), crew=()))
        chosen = Selection(hand.bay, UTC, BO)
        assert chosen.by == BO
        chosen.turn_to_car(JobId("car"))
        assert chosen.by is None


def test_zones_of_another_car_turn_to_that_car(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as two:
        chosen = Selection(two.bay, UTC)
        chosen.open_zones(SECOND, ROOF)
        assert (chosen.job, chosen.zones) == (SECOND, ROOF)
        assert chosen.by == Person("Cy 2")


def test_a_step_is_chosen_until_the_ladder_is_left(hand: HandBay):
    chosen = Selection(hand.bay, UTC)
    chosen.open_zones(CAR, ROOF)
    chosen.choose_step(StepId("coat-2"))
    chosen.close_zones()
    assert (chosen.zones, chosen.step) == ((), None)


def test_when_the_last_car_has_left_none_is_shown(hand: HandBay):
    chosen = Selection(hand.bay, UTC)
    assert hand.bay.request(CloseJob(CAR, ASH)).accepted
    chosen.turn_to_first_car()
    assert chosen.car is None


def test_the_bay_is_seen_by_who_stands_there_in_the_zone_that_times_are_shown_in(hand: HandBay):
    chosen = Selection(hand.bay, UTC)
    chosen.choose_person(BO)
    chosen.set_time_zone(ZoneInfo("America/New_York"))
    assert chosen.seen_at(OPENING) == Viewpoint(BO, OPENING, ZoneInfo("America/New_York"), CAR)
