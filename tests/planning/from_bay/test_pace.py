"""A shop's own times: learnt from runs that are work, believed as far as there are enough of them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.planning.from_bay.pace import (
    ABSURD,
    BELIEF,
    ENOUGH,
    Pace,
    Paces,
    TimedRun,
    durations,
    sigmas,
    spreads,
    timed_runs,
)
from bayapp.planning.from_bay.scatter import USUAL_SIGMA
from tests.job.builders import Shop, correct, finish, job, recipe, start, step, undo

LADDER = recipe(step("wipe", minutes=2), step("coat", minutes=5, wait={"min": 1}), step("level", minutes=3))
COAT = LADDER.named(StepId("coat"))


def shop(*zones: str) -> Shop:
    return Shop(job((zones or ("windscreen", "roof", "bonnet"), LADDER)))


def seen(shop: Shop) -> list[tuple[str, float]]:
    """Step and minutes for one zone, of everything that was timed."""
    return [(run.step, run.real_s / 60) for run in timed_runs(shop.state.jobs.values())]


def ran(*real_s: float, step: str = "coat", recipe: str = "ladder", expected_s: float = 300) -> list[TimedRun]:
    return [TimedRun(recipe, StepId(step), StepKind.COAT, expected_s, real) for real in real_s]


def scattered(factor: float, sigma: float, runs: int, seed: int = 1) -> list[float]:
    return list(300 * factor * np.exp(np.random.default_rng(seed).normal(0, sigma, runs)))


# What counts as a run.


def test_a_finished_run_is_timed_from_start_to_finish():
    day = shop()
    day.work("roof", "wipe", 0, 2.5)
    day.work("roof", "coat", 4, 10)
    assert seen(day) == [("wipe", 2.5), ("coat", 6)]
    [wipe, _] = timed_runs(day.state.jobs.values())
    assert wipe == TimedRun("ladder", StepId("wipe"), StepKind.WIPE, 120, 150)


def test_a_touch_on_several_zones_is_one_run_shared_among_them():
    day = shop()
    day.work("windscreen roof bonnet", "wipe", 0, 9)
    assert seen(day) == [("wipe", 3)]


def test_zones_begun_together_and_finished_one_by_one_end_with_the_last():
    day = shop()
    day.must(start("roof bonnet", "wipe"), 0)
    day.must(finish("roof", "wipe"), 3)
    assert seen(day) == [], "one of them is still under way"
    day.must(finish("bonnet", "wipe"), 5)
    assert seen(day) == [("wipe", 2.5)]


def test_the_same_step_of_zones_begun_by_touches_of_their_own_is_timed_each():
    day = shop()
    day.must(start("roof", "wipe", by="Ash"), 0)
    day.must(start("bonnet", "wipe", by="Bo"), 0)
    day.must(finish("roof", "wipe", by="Ash"), 2)
    day.must(finish("bonnet", "wipe", by="Bo"), 4)
    assert sorted(seen(day)) == [("wipe", 2), ("wipe", 4)]


def test_what_one_person_begins_by_one_touch_is_timed_together():
    day = shop()
    day.must(start("roof bonnet", "wipe"), 0)
    day.must(finish("roof bonnet", "wipe"), 6)
    assert seen(day) == [("wipe", 3)]


def test_a_finish_without_a_start_was_not_timed():
    day = shop()
    day.must(finish("roof", "wipe"), 5)
    assert day.state.jobs["car"].zones["roof"].runs[0].implied
    assert seen(day) == []


def test_what_runs_or_was_undone_was_not_timed():
    day = shop()
    day.work("roof", "wipe", 0, 2)
    day.must(undo("roof"), 3)
    day.must(undo("roof"), 3)
    day.must(start("bonnet", "wipe"), 4)
    assert seen(day) == []


def test_a_corrected_time_is_the_one_that_counts():
    day = shop()
    day.work("roof", "wipe", 10, 50)
    day.must(correct("roof", "wipe", "finish", 13), 51)
    assert seen(day) == [("wipe", 3)]


def test_every_car_counts_whether_it_has_left_or_not():
    day = Shop(job((["roof"], LADDER), name="green"), job((["roof"], LADDER), name="blue"))
    day.work("roof", "wipe", 0, 2, job="green")
    day.work("roof", "wipe", 3, 6, job="blue")
    assert seen(day) == [("wipe", 2), ("wipe", 3)]


# What they teach.


def test_without_any_runs_the_recipe_is_right_give_or_take_a_quarter():
    assert spreads([]) == Paces()
    assert Paces().of("ladder", COAT) == Pace(1, USUAL_SIGMA, 0)


def test_many_runs_are_believed():
    # The reference is numpy's median and scipy's median absolute deviation of the same sample.
    sample = scattered(factor=1.4, sigma=0.1, runs=2000)
    pace = spreads(ran(*sample, recipe="other")).of("ladder", COAT)  # known by its kind only
    logs = np.log(np.array(sample) / 300)
    n = len(sample)
    assert math.log(pace.factor) == pytest.approx(np.median(logs) * n / (n + BELIEF))
    mad = stats.median_abs_deviation(logs, scale="normal")
    assert pace.sigma**2 == pytest.approx((n * mad**2 + BELIEF * USUAL_SIGMA**2) / (n + BELIEF))
    assert pace.factor == pytest.approx(1.4, rel=0.02)
    assert pace.sigma == pytest.approx(0.1, rel=0.1)
    assert pace.runs == n


def test_a_single_run_moves_the_expectation_by_a_ninth_and_the_spread_not_at_all():
    pace = spreads(ran(600, recipe="other")).of("ladder", COAT)
    assert pace.factor == pytest.approx(2 ** (1 / 9))
    assert (pace.sigma, pace.runs) == (USUAL_SIGMA, 1)


@pytest.mark.parametrize("runs", [ENOUGH - 1, ENOUGH])
def test_the_spread_is_the_usual_one_until_there_are_enough_runs(runs):
    sample = scattered(factor=1, sigma=0.05, runs=runs)
    sigma = spreads(ran(*sample, recipe="other")).of("ladder", COAT).sigma
    assert (sigma == USUAL_SIGMA) == (runs < ENOUGH)
    assert sigma <= USUAL_SIGMA


def test_runs_that_are_all_alike_still_leave_some_doubt():
    sigma = spreads(ran(*[300] * ENOUGH, recipe="other")).of("ladder", COAT).sigma
    assert sigma == pytest.approx(USUAL_SIGMA / math.sqrt(2))


def test_a_step_of_a_recipe_is_known_better_than_its_kind():
    quick, slow = ran(*[150] * 40), ran(*[600] * 40, recipe="other")
    paces = spreads([*quick, *slow])
    other = recipe(step("coat", minutes=5), name="other")
    new = recipe(step("coat", minutes=5), name="new")
    assert paces.of("ladder", COAT).factor == pytest.approx(0.5, rel=0.15)
    assert paces.of("other", other.step[0]).factor == pytest.approx(2, rel=0.15)
    assert paces.of("new", new.step[0]).factor == pytest.approx(1, abs=1e-9)  # the median of one half and double


def test_few_runs_of_a_step_lean_on_the_pace_of_its_kind():
    kind = ran(*[600] * 400, recipe="other")
    alone = spreads(kind).of("ladder", COAT).factor
    with_one = spreads([*kind, *ran(300)]).of("ladder", COAT).factor
    assert alone == pytest.approx(2, rel=0.02)
    assert math.log(with_one) == pytest.approx(math.log(alone) * 8 / 9, rel=0.01)


def test_minutes_corrected_in_the_recipe_are_not_corrected_twice():
    # The shop took 10 min where 5 were expected, a hundred times; then it wrote 10 into its recipe.
    paces = spreads(ran(*[600] * 100))
    corrected = recipe(step("coat", minutes=10)).step[0]
    assert paces.of("ladder", COAT).factor * 5 == pytest.approx(10, rel=0.02)
    assert paces.of("ladder", corrected).factor * 10 == pytest.approx(10, rel=0.06)


# What is no work.


@pytest.mark.parametrize(("real_s", "work"), [(0, False), (37, False), (38, True), (2400, True), (2401, False)])
def test_far_too_short_or_far_too_long_is_no_work(real_s, work):
    assert ABSURD == 8
    assert [run.believable for run in ran(real_s)] == [work]
    assert spreads(ran(real_s)).of("ladder", COAT).runs == work


def test_a_run_over_lunch_now_and_then_changes_little():
    sample = scattered(factor=1, sigma=0.2, runs=200)
    over_lunch = [real + (1800 if number % 10 == 0 else 0) for number, real in enumerate(sample)]
    clean, mixed = (spreads(ran(*real)).of("ladder", COAT) for real in (sample, over_lunch))
    assert mixed.factor == pytest.approx(clean.factor, rel=0.04)
    assert mixed.sigma == pytest.approx(clean.sigma, rel=0.2)
    assert np.std(np.log(over_lunch)) > 2 * np.std(np.log(sample)), "a plain deviation would have been fooled"


@given(st.lists(st.floats(0, 1e6), max_size=30), st.floats(0.1, 600))
def test_no_runs_whatever_break_the_expectation(real, minutes):
    some = recipe(step("coat", minutes=minutes)).step[0]
    pace = spreads(ran(*real, expected_s=minutes * 60)).of("ladder", some)
    assert 1 / ABSURD - 1e-9 <= pace.factor <= ABSURD + 1e-9
    assert 0 < pace.sigma < 4


# How the planner asks.


def test_the_planner_is_given_minutes_and_scatter_of_a_step_of_a_zone():
    car = job((["roof"], LADDER))
    paces = spreads(ran(*scattered(factor=2, sigma=0.1, runs=500)))
    expected = paces.of("ladder", COAT)
    assert durations(paces)(car, ZoneId("roof"), COAT) == pytest.approx(5 * expected.factor)
    assert sigmas(paces)(car, ZoneId("roof"), COAT) == expected.sigma
    assert durations(paces)(car, ZoneId("roof"), LADDER.named(StepId("wipe"))) == 2
