"""What is to blame for a window that lapsed, by hand: a touch, warned of or not, a rest, or how long work took."""

from dataclasses import replace
from datetime import UTC
from typing import Any

import pytest

from bayapp.job import Advice, Start, clocks
from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.pages.board.next_step import offers
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import Loss
from bayapp.planning.next.recommendation import Recommendation, recommended
from tests.job.builders import Shop, at, finish, job, recipe, start, step
from tests.planning.support.blame import Cause, causes, harms, hurried_since, ignores_half
from tests.planning.support.driver import Look, Missed, Outcome, Touch

ASH, BO = Person("Ash"), Person("Bo")
COAT = step("coat", minutes=3, wait={"max": 10, "lapse": "wipe"})
LEVEL = step("level", minutes=2, wait={"max": 8, "max_from": "start", "lapse": "wipe"})
PAINT = recipe(step("clean", minutes=5), step("wipe", minutes=2), COAT, LEVEL, name="paint")
LONG = recipe(step("polish", minutes=20), name="long")
LONG_WITHOUT_DUST = recipe(step("clean", minutes=20), name="long-without-dust")
"""Dust would send the wipe beside it back, and leave no window to lapse."""


def nothing_against(touch: Start) -> Recommendation:
    return Recommendation(Advice(touch.job, touch.zones, touch.step, Urgency.IDLE, None, at(0)))


class Day:
    """A bay in which every touch and every rest is written down."""

    def __init__(self, *crew: str, beside: Recipe = LONG) -> None:
        self.shop = Shop(job((["roof"], PAINT), (["bonnet"], beside), crew=crew))
        self.outcome = Outcome()

    def look(self, minute: float, person: Person) -> Look:
        state: Any = self.shop.state
        now = clocks(state, at(minute))
        recommendations, pause = recommended(state, None, now, person, at(minute))
        return Look(state, now, person, at(minute), (), recommendations, pause, nothing_against)

    def works(
        self, zone: str, name: str, begin: float, end: float | None, by: Person = ASH, warned: bool = False
    ) -> None:
        self.outcome.touches.append(Touch(self.look(begin, by), start(zone, name, by), warned, planned=False))
        self.shop.must(start(zone, name, by), begin)
        if end is not None:
            self.shop.must(finish(zone, name, by), end)

    def rests(self, minute: float, by: Person = ASH) -> None:
        self.outcome.rests.append(self.look(minute, by))

    def cause(self, name: str, lapsed_at: float) -> Cause:
        """What a step of the roof lapsed by, once the day is over."""
        self.outcome.state = self.shop.state
        self.outcome.missed = (missed(name, lapsed_at),)
        return causes(self.outcome)[self.outcome.missed[0]]


def missed(name: str, lapsed_at: float) -> Missed:
    return JobId("car"), ZoneId("roof"), StepId(name), at(lapsed_at)


@pytest.mark.parametrize(("warned", "cause"), [(False, Cause.UNWARNED), (True, Cause.WARNED)])
def test_a_touch_that_takes_the_only_hands_for_too_long_is_to_blame(warned: bool, cause: Cause):
    day = Day("Ash", beside=LONG_WITHOUT_DUST)
    day.works("roof", "clean", 0, 5)
    day.works("roof", "wipe", 5, 7)
    day.works("bonnet", "clean", 8, None, warned=warned)
    assert [harms(touch) for touch in day.outcome.touches] == [False, False, True]
    assert day.cause("coat", 17) is cause


def test_what_was_done_before_the_zone_was_in_a_hurry_is_not_to_blame():
    day = Day("Ash", "Bo")
    day.works("roof", "clean", 0, 5)
    day.works("bonnet", "polish", 5, None, BO)
    day.works("roof", "wipe", 10, 12)
    assert hurried_since(day.shop.state, missed("coat", 22)) == at(10)
    assert day.cause("coat", 22) is Cause.UNWARNED, "the polish lasts until 25, and no coat is laid before"
    assert [harms(touch) for touch in day.outcome.touches] == [False, False, True]


def test_a_chain_of_steps_in_a_hurry_begins_with_its_first():
    day = Day("Ash")
    day.works("roof", "clean", 0, 5)
    day.works("roof", "wipe", 6, 8)
    day.works("roof", "coat", 9, 12)
    assert hurried_since(day.shop.state, missed("level", 17)) == at(6)


def test_a_rest_while_it_could_have_been_done_is_to_blame():
    day = Day("Ash")
    day.works("roof", "clean", 0, 5)
    day.works("roof", "wipe", 5, 7)
    day.rests(10)
    assert day.cause("coat", 17) is Cause.RESTED


def test_work_that_takes_longer_than_expected_is_nobodys_fault():
    # What is expected to end at 13 ends at 18.
    shorter = recipe(step("clean", minutes=5), name="shorter")
    day = Day("Ash")
    day.shop = Shop(job((["roof"], PAINT), (["bonnet"], shorter), crew=("Ash",)))
    day.works("roof", "clean", 0, 5)
    day.works("roof", "wipe", 5, 7)
    day.works("bonnet", "clean", 8, 18)
    assert day.cause("coat", 17) is Cause.DURATIONS


def recommendations_at_rims() -> tuple[Recommendation, ...]:
    state: Any = rims().state
    return recommended(state, None, clocks(state, at(0)), ASH, at(0))[0]


def rims() -> Shop:
    return Shop(job((["left-rim", "right-rim"], PAINT), (["left-door"], PAINT), crew=("Ash",)))


def chosen(warning: bool, heeds: bool = True) -> list[Start | None]:
    """What somebody chooses who stands a hundred times before two rims and a door, of whose ladders the wall warns."""
    state: Any = rims().state
    now = clocks(state, at(0))
    recommendations, pause = recommended(state, None, now, ASH, at(0))
    seen = offers(state, now, recommendations, pause, Viewpoint(ASH, at(0), UTC))
    loss = Loss(job=JobId("car"), zone=ZoneId("left-door"), step=StepId("coat"), lapses_at=at(9))

    def weighed(touch: Start) -> Recommendation:
        return replace(nothing_against(touch), losses=(loss,) if warning else ())

    choose = ignores_half(1, heeds)
    return [choose(Look(state, now, ASH, at(0), seen, recommendations, pause, weighed)) for _ in range(100)]


def test_whoever_goes_against_the_advice_begins_zones_and_sets_from_their_ladders():
    zones = {touch.zones for touch in chosen(warning=False) if touch}
    assert {("left-rim",), ("right-rim",), ("left-door",), ("left-rim", "right-rim")} <= zones


def test_whoever_heeds_warnings_begins_nothing_from_a_ladder_that_warns():
    offered = {c.advice.zones for c in recommendations_at_rims()}
    assert {touch.zones for touch in chosen(warning=True) if touch} <= offered
    assert not {touch.zones for touch in chosen(warning=True, heeds=False) if touch} <= offered
