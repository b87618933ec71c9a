"""What clashes is said in the words of the job: real bays that cannot be worked, with the sentence that they get."""

from dataclasses import replace
from datetime import UTC, time, timedelta, timezone
from typing import Any

import pytest

from bayapp.job import Job, Recipe
from bayapp.planning.conflict_text import conflict_sentences
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.problem import Lag, Problem, Task
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.shop import Shop as People
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.solver.solve import solve
from tests.job.builders import Shop, at, finish, form, job, recipe, step
from tests.planning.support.checker import faults

ENOUGH_S = 20.0


def conflict_of(shop: Shop, minutes: float, people: People | None = None) -> tuple[str, ...]:
    """What is said of a bay at a moment; the clash is a smallest one, which is tried."""
    work = work_of(Situation(shop.state, at(minutes), people or People()))
    plan = solve(work.problem, Effort(ENOUGH_S, workers=1))
    assert plan.status == "infeasible"
    assert faults(work.problem, plan) == []
    assert_smallest(work.problem, plan.clash)
    return conflict_sentences(work, shop.state, plan.clash, UTC)


def assert_smallest(problem: Problem, clash: tuple[Task | Lag, ...]) -> None:
    assert solve(_only(problem, clash), Effort(ENOUGH_S, workers=1)).status == "infeasible"
    for rule in clash:
        eased = _only(problem, tuple(other for other in clash if other is not rule))
        assert solve(eased, Effort(ENOUGH_S, workers=1, stopped=lambda: False)).starts_s, rule


def _only(problem: Problem, rules: tuple[Task | Lag, ...]) -> Problem:
    tasks = tuple(t if t in rules else replace(t, latest_s=None) for t in problem.tasks)
    return replace(problem, tasks=tasks, lags=tuple(lag for lag in problem.lags if lag in rules))


def wiped(ladder: Recipe, zones: str = "left-rim right-rim", crew: tuple[str, ...] = ("Ash",)) -> Shop:
    """Zones whose first step was done together, from 0 to 2 minutes."""
    shop = Shop(job((zones.split(), ladder), crew=crew))
    first = ladder.step[0].id
    shop.work(zones, first, 0, 2)
    return shop


def coated_after(wait: dict[str, Any], minutes: float = 5) -> Recipe:
    return recipe(step("wipe", minutes=2), step("coat", minutes=minutes, wait=wait))


def test_two_zones_that_lapse_in_the_same_minute_are_too_much_for_one_person():
    shop = wiped(coated_after({"max": 10, "lapse": "wipe"}))
    assert conflict_of(shop, 11) == ("Coat (rims) must start by 08:12:00: not both can be kept.",)


def test_two_people_can_do_what_one_cannot():
    shop = wiped(coated_after({"max": 10, "lapse": "wipe"}), crew=("Ash", "Bo"))
    assert (
        solve(work_of(Situation(shop.state, at(11), People())).problem, Effort(ENOUGH_S, workers=1)).status == "optimal"
    )


def test_zones_of_different_moments_are_named_one_by_one_and_only_those_that_clash():
    shop = Shop(job((["left-rim", "right-rim", "roof"], coated_after({"max": 10, "lapse": "wipe"})), crew=("Ash",)))
    shop.work("left-rim", "wipe", 0, 2)
    shop.work("right-rim", "wipe", 2, 4.75)
    shop.work("roof", "wipe", 4.75, 5)
    left, right, roof = (
        f"oat ({zone}) must start by 08:{moment}"
        for zone, moment in (("left rim", "12:00"), ("right rim", "14:45"), ("roof", "15:00"))
    )
    assert conflict_of(shop, 9.5) == (f"C{left}; c{right}; c{roof}: not all of this can be kept.",)
    assert conflict_of(shop, 10.25) in [
        (f"C{a}; c{b}: not both can be kept.",) for a, b in ((left, right), (left, roof))
    ]


def test_times_are_those_of_the_shops_wall_clock():
    shop = wiped(coated_after({"max": 10, "lapse": "wipe"}))
    work = work_of(Situation(shop.state, at(11), People()))
    plan = solve(work.problem, Effort(ENOUGH_S, workers=1))
    (sentence,) = conflict_sentences(work, shop.state, plan.clash, timezone(timedelta(hours=2)))
    assert "10:12:00" in sentence


def test_a_step_that_lasts_longer_than_the_window_from_its_first_stroke():
    ladder = recipe(
        step("coat", minutes=6), step("level", minutes=2, wait={"max": 5, "max_from": "start", "lapse": "wipe"})
    )
    shop = Shop(job((["roof"], ladder), crew=("Ash",)))
    sentence = (
        "Level (roof) must start within 5 min of the first stroke of coat, which takes 6 min: that cannot be kept."
    )
    assert conflict_of(shop, 0) == (sentence,)


def test_a_window_that_the_wait_for_others_outlasts():
    ladder = recipe(
        step("wipe", minutes=5),
        step("coat", minutes=3, wait={"after": "wipe", "of": "block", "min": 10, "max": 11, "lapse": "wipe"}),
    )
    shop = Shop(job((["left-rim", "right-rim"], ladder), crew=("Ash",)))
    assert conflict_of(shop, 0) == (
        "Coat (rims) must start 10 min to 11 min after the last solvent wipe on rims: not both can be kept.",
    )


def test_a_last_that_may_be_the_longest_is_counted_from_its_first_stroke():
    wait = {"of": "rims", "after": "coat", "min": 3, "max": 4, "max_from": "start", "lapse": "inspect"}
    shop = Shop(
        job(
            (["left-rim", "right-rim"], recipe(step("coat", minutes=5))),
            (["roof"], recipe(step("inspect", minutes=2, wait=wait), name="late")),
            crew=("Ash",),
        )
    )
    (sentence,) = conflict_of(shop, 0)
    first = "the first stroke of coat (left rim), which takes 5 min"
    assert sentence == f"Inspect (roof) must start within 4 min of {first}: that cannot be kept."


def test_one_window_that_a_break_swallows_is_named_alone():
    shop = wiped(coated_after({"max": 10, "lapse": "wipe"}), "roof")
    shut = People(hours=((time(7), time(8, 11)), (time(9), time(17))))
    assert conflict_of(shop, 11, shut) == ("Coat (roof) must start by 08:12:00: that cannot be kept.",)


def test_where_two_cars_stand_in_the_bay_each_is_named():
    ladder = coated_after({"max": 10, "lapse": "wipe"})
    cars = [named(job((["roof"], ladder), name=n, crew=("Ash",)), t) for n, t in (("one", "Red car"), ("two", "Van"))]
    shop = Shop(*cars)
    for car in cars:
        shop.must(finish("roof", "wipe", None, car.id), 2)
    assert conflict_of(shop, 11) == (
        "Red car: coat (roof) must start by 08:12:00; Van: coat (roof) must start by 08:12:00: not both can be kept.",
    )


def named(car: Job, title: str) -> Job:
    return car.model_copy(update={"title": title})


def test_nothing_is_said_where_nothing_clashes():
    shop = wiped(coated_after({"max": 10, "lapse": "wipe"}))
    assert conflict_sentences(work_of(Situation(shop.state, at(2), People())), shop.state, (), UTC) == ()


@pytest.mark.parametrize(
    ("least", "most", "words"),
    [
        (0, None, "level (roof) comes after coat"),
        (90, None, "level (roof) must start 1:30 min after coat at the earliest"),
        (0, 5400, "level (roof) must start within 1 h 30 after coat"),
        (60, 300, "level (roof) must start 1 min to 5 min after coat"),
    ],
)
def test_each_kind_of_wait_has_its_words(least: int, most: int | None, words: str):
    shop = Shop(job((["roof"], recipe(step("coat"), step("level"))), crew=("Ash",), vehicle=form()))
    work = work_of(Situation(shop.state, at(0), People()))
    (sentence,) = conflict_sentences(work, shop.state, (Lag("car/roof/coat", "car/roof/level", least, most),), UTC)
    assert sentence == f"{words[:1].upper()}{words[1:]}: that cannot be kept."
