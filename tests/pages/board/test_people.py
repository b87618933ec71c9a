"""What each person is at, or does next."""

from datetime import UTC, timedelta
from pathlib import Path

from bayapp.job import ChangeCrew, Start
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.pages.board.people import doings, joining, people_at_hand
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay


def said(hand: HandBay, *people: Person) -> dict[Person, str]:
    return doings(hand.bay, people or (ASH, BO), hand.clocks(), hand.bay.now(), UTC)


def plan(hand: HandBay, zone: str, step: str, minutes: float, person: Person = ASH) -> None:
    start = OPENING + timedelta(minutes=minutes)
    planned = PlannedStep(
        job=CAR, zone=ZoneId(zone), step=StepId(step), person=person, start=start, end=start + timedelta(minutes=2)
    )
    hand.bay.advice.take_order(
        WorkOrder(status="feasible", made_for=OPENING, entry=hand.bay.state.last_at, steps=(planned,))
    )


def test_what_is_under_way_is_shown_whoever_does_it(hand: HandBay):
    assert said(hand) == {BO: "rear left rim"}


def test_zones_begun_by_one_touch_are_named_together(hand: HandBay):
    zones = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
    hand.bay.request(Start(CAR, zones, StepId("coat-1"), ASH))
    assert said(hand)[ASH] == "right side glass"


def test_whoever_is_free_hears_what_the_plan_has_next(hand: HandBay):
    plan(hand, "rim-rear-right", "level", 0)
    assert said(hand)[ASH] == "next: rear right rim"


def test_whoever_the_plan_lets_wait_hears_until_when(hand: HandBay):
    plan(hand, "windscreen", "coat-3", 4)
    assert said(hand)[ASH] == "free until 09:05", "the plan's pause ends at 09:04:00.123: never a minute that is over"


def test_one_person_alone_reads_it_on_the_large_button(hand: HandBay):
    assert said(hand, ASH) == {}


def test_who_works_on_another_car_is_at_hand_on_this_one_and_joins_its_crew(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        first, second = (state.job for state in hand.bay.state.open_jobs)
        assert people_at_hand(hand.bay.state, second) == ("Cy 2", "Di 2", "Ash", "Bo")
        assert joining(first, ASH) is None
        asked = joining(second, ASH)
        assert asked == ChangeCrew(second.id, (*second.crew, ASH), ASH)
        assert hand.bay.request(asked).accepted
        assert joining(hand.bay.state.jobs[second.id].job, ASH) is None
