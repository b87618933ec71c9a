"""What is to blame for a window that lapsed, by hand: a touch, warned of or not, a rest, or how long work took."""

from typing import Any

import pytest

from bayapp.job import clocks
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.planning.next.recommendation import recommended
from tests.job.builders import Shop, at, finish, job, recipe, start, step
from tests.planning.support.blame import Cause, causes, harms, hurried_since
from tests.planning.support.driver import Look, Missed, Outcome, Touch

ASH, BO = Person("Ash"), Person("Bo")
COAT = step("coat", minutes=3, wait={"max": 10, "lapse": "wipe"})
LEVEL = step("level", minutes=2, wait={"max": 8, "max_from": "start", "lapse": "wipe"})
PAINT = recipe(step("clean", minutes=5), step("wipe", minutes=2), COAT, LEVEL, name="paint")
LONG = recipe(step("polish", minutes=20), name="long")


class Day:
    """A bay in which every touch and every rest is written down."""

    def __init__(self, *crew: str) -> None:
        self.shop = Shop(job((["roof"], PAINT), (["bonnet"], LONG), crew=crew))
        self.outcome = Outcome()

    def look(self, minute: float, person: Person) -> Look:
        state: Any = self.shop.state
        now = clocks(state, at(minute))
        recommendations, pause = recommended(state, None, now, person, at(minute))
        return Look(state, now, person, at(minute), (), recommendations, pause)

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
    day = Day("Ash")
    day.works("roof", "clean", 0, 5)
    day.works("roof", "wipe", 5, 7)
    day.works("bonnet", "polish", 8, None, warned=warned)
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
