"""The made-up days, against closed forms (scipy.stats.lognorm), against the plan itself, and by how they must move."""

import math
from dataclasses import replace

import pytest
from scipy import stats

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.from_bay.scatter import USUAL_SIGMA
from bayapp.planning.robust.risk import Risk, simulate
from tests.planning.support.checker import faults

RUNS = 40_000


def plan(**starts: int) -> Plan:
    """A plan whose end nobody asks for here."""
    return Plan("feasible", starts_s=starts)


def near(share: float, runs: int = RUNS) -> object:
    """Within four standard errors of a share that so many runs estimate."""
    return pytest.approx(share, abs=4 * math.sqrt(share * (1 - share) / runs) + 1 / runs)


def test_the_usual_spread_has_a_standard_deviation_of_a_quarter_of_the_mean():
    time = stats.lognorm(s=USUAL_SIGMA, scale=600)
    assert time.median() == pytest.approx(600)
    assert time.std() / time.mean() == pytest.approx(0.25)


@pytest.mark.parametrize("sigma", [0.1, USUAL_SIGMA, 0.6])
def test_one_task_ends_at_the_quantiles_of_the_log_normal_distribution(sigma):
    risk = simulate(Problem((Task("wipe", 600),)), plan(wipe=0), {"wipe": sigma}, RUNS)
    time = stats.lognorm(s=sigma, scale=600)
    for found, share in [(risk.finish_p50_s, 0.5), (risk.finish_p90_s, 0.9)]:
        error = math.sqrt(share * (1 - share) / RUNS) / time.pdf(time.ppf(share))  # of a sample quantile
        assert found == pytest.approx(time.ppf(share), abs=4 * error)
    assert (risk.lapse_chance, risk.lapse_of) == (0, {})


def test_a_maximum_behind_one_other_task_is_missed_as_often_as_that_task_is_too_long():
    # Coat, then polish 10 min elsewhere, then level at most 12 min after the coat: missed when the polish takes longer.
    tasks = (Task("coat", 120), Task("polish", 600), Task("level", 60))
    problem = Problem(tasks, (Lag("coat", "level", min_s=60, max_s=720),))
    risk = simulate(problem, plan(coat=0, polish=120, level=720), runs=RUNS)
    missed = stats.lognorm(s=USUAL_SIGMA, scale=600).sf(720)
    assert risk.lapse_of == {"level": near(missed)}
    assert risk.lapse_chance == risk.lapse_of["level"]


def test_a_maximum_from_the_start_is_missed_as_often_as_two_lengths_are_too_long():
    tasks = (Task("coat", 300), Task("level", 60))
    problem = Problem(tasks, (Lag("coat", "level", max_s=400, basis="start-start"),))
    risk = simulate(problem, plan(coat=0, level=300), {"coat": 0.4}, RUNS)
    assert risk.lapse_of["level"] == near(stats.lognorm(s=0.4, scale=300).sf(400))


def test_a_latest_start_is_missed_as_often_as_what_is_before_it_takes_too_long():
    problem = Problem((Task("polish", 600), Task("level", 60, latest_s=700)))
    risk = simulate(problem, plan(polish=0, level=600), runs=RUNS)
    assert risk.lapse_of["level"] == near(stats.lognorm(s=USUAL_SIGMA, scale=600).sf(700))


def test_the_last_of_two_people_ends_with_the_slower_one():
    # Two independent times: the chance that both have ended is the product, so the median of the last is at sqrt(1/2).
    problem = Problem((Task("left", 600), Task("right", 600)), capacities={"person": 2})
    risk = simulate(problem, plan(left=0, right=0), runs=RUNS)
    time = stats.lognorm(s=USUAL_SIGMA, scale=600)
    assert risk.finish_p50_s == pytest.approx(time.ppf(math.sqrt(0.5)), rel=0.01)
    assert risk.finish_p90_s == pytest.approx(time.ppf(math.sqrt(0.9)), rel=0.01)


def test_a_day_without_chance_is_the_plan():
    tasks = (
        Task("polish", 100),
        Task("wipe", 60, {}, one_of=("ash", "bo"), earliest_s=10),
        Task("coat", 120, {"person": 1, "lamp": 2}),
        Task("level", 60, {}, one_of=("ash", "bo")),
        Task("look", 0),
    )
    problem = Problem(
        tasks,
        (Lag("wipe", "coat", min_s=30, max_s=90), Lag("both", "level", min_s=20, max_s=25), Lag("level", "look", 7)),
        {"person": 1, "ash": 1, "bo": 1, "lamp": 3},
        (LastOf("both", ("coat", "wipe")),),
        (ForbiddenInterval("open", "coat", "level", frozenset({"polish"}), 5),),
        {"lamp": ((90, 130),), "ash": ((100, 400),)},
    )
    right = Plan(
        "feasible",
        435,
        None,
        {"wipe": 10, "coat": 130, "level": 270, "polish": 335, "look": 337},
        {"wipe": "ash", "level": "bo"},
    )
    assert faults(problem, right) == []
    sigma = dict.fromkeys(right.starts_s, 0.0)
    assert simulate(problem, right, sigma, runs=3) == Risk(0, 435, 435, {"coat": 0, "level": 0})


@pytest.mark.parametrize("hold", [0, 1, 500])
def test_what_the_plan_holds_back_begins_at_its_planned_time(hold):
    # Wiping at once would let the wipe lapse while the lamp is in use; the plan waits with it.
    tasks = (Task("other", 3600, {"lamp": 1}), Task("wipe", 60), Task("coat", 60, {"lamp": 1}))
    problem = Problem(tasks, (Lag("wipe", "coat", max_s=600),), {"person": 1, "lamp": 1})
    starts = {"other": 0, "wipe": 3540 - hold, "coat": 3600}
    risk = simulate(problem, plan(**starts), {"other": 0.05, "wipe": 0, "coat": 0}, RUNS)
    assert risk.lapse_of["coat"] == near(stats.lognorm(s=0.05, scale=3600).sf(3540 - hold + 60 + 600))


def test_nothing_is_held_back_that_the_plan_does_not():
    # The second begins as soon as the first is over, however early: the day ends with the sum of both.
    problem = Problem((Task("one", 600), Task("two", 600)))
    risk = simulate(problem, plan(one=0, two=600), {"two": 0.0}, RUNS)
    assert risk.finish_p50_s == pytest.approx(1200, rel=0.005)
    earliest = simulate(problem, plan(one=0, two=600), {"two": 0.0}, RUNS).finish_p50_s
    late_plan = simulate(problem, plan(one=0, two=660), {"two": 0.0}, RUNS).finish_p50_s
    assert late_plan == pytest.approx(earliest + 60, rel=0.005)


def test_each_person_keeps_to_their_own_order():
    # Ash's second task waits for nobody but Ash, however late Bo is.
    tasks = tuple(Task(name, 600, {}, one_of=("ash", "bo")) for name in ("a1", "b1", "a2", "b2"))
    problem = Problem(tasks, capacities={"ash": 1, "bo": 1})
    day = Plan("feasible", 1200, None, {"a1": 0, "b1": 0, "a2": 600, "b2": 600})
    day = replace(day, done_by={"a1": "ash", "a2": "ash", "b1": "bo", "b2": "bo"})
    risk = simulate(problem, day, {"b1": 0.8, "a1": 0, "a2": 0, "b2": 0}, RUNS)
    assert risk.finish_p90_s == pytest.approx(stats.lognorm(s=0.8, scale=600).ppf(0.9) + 600, rel=0.02)
    tasks = (*tasks[:2], replace(tasks[2], latest_s=600), tasks[3])
    assert simulate(replace(problem, tasks=tasks), day, {"a1": 0}, RUNS).lapse_chance == 0


def test_whoever_is_free_first_takes_what_comes_next():
    # Two hands, three tasks: the third begins with the smaller of two times, whose median has a closed form.
    problem = Problem(tuple(Task(name, 600) for name in ("one", "two", "three")), capacities={"person": 2})
    day = plan(one=0, two=0, three=600)
    sigma = {"one": 0.3, "two": 0.3, "three": 0.0}
    latest = int(
        stats.lognorm(s=0.3, scale=600).ppf(1 - math.sqrt(0.5))
    )  # the smaller is later than this half the time
    tasks = (*problem.tasks[:2], replace(problem.tasks[2], latest_s=latest))
    assert simulate(replace(problem, tasks=tasks), day, sigma, RUNS).lapse_of["three"] == near(
        stats.lognorm(s=0.3, scale=600).sf(latest) ** 2
    )


def test_work_that_would_not_fit_before_a_break_waits_until_it_is_over():
    # Fits while the first takes at most 400 s; else it begins after the break, at 2000 s.
    problem = Problem((Task("one", 300), Task("two", 600, latest_s=1999)), closed={"person": ((1000, 2000),)})
    risk = simulate(problem, plan(one=0, two=300), {"one": 0.5, "two": 0.0}, RUNS)
    assert risk.lapse_of["two"] == near(stats.lognorm(s=0.5, scale=300).sf(400))
    assert risk.finish_p90_s == 2600


def test_dust_waits_for_the_fresh_coat_and_the_coat_for_the_dust():
    tasks = (Task("early", 300, {}), Task("coat", 300, {}), Task("level", 60, {}), Task("late", 60, {}, latest_s=1100))
    interval = ForbiddenInterval("open", "coat", "level", frozenset({"early", "late"}), longer_s=240)
    problem = Problem(tasks, (Lag("coat", "level", 100),), {}, forbidden=(interval,))
    day = plan(early=0, coat=300, level=700, late=1000)
    assert faults(problem, replace(day, makespan_s=1060)) == []
    # Both the early dust and the coat push the late dust: their sum is at most 700 when late begins by 1100.
    risk = simulate(problem, day, {"early": 0.3, "coat": 0, "level": 0, "late": 0}, RUNS)
    assert risk.lapse_of["late"] == near(stats.lognorm(s=0.3, scale=300).sf(400))
    risk = simulate(problem, day, {"early": 0, "coat": 0.3, "level": 0, "late": 0}, RUNS)
    assert risk.lapse_of["late"] == near(stats.lognorm(s=0.3, scale=300).sf(400))


def test_a_wait_for_the_last_of_several_is_missed_from_the_latest_end():
    tasks = (
        Task("left", 300, {"a": 1}),
        Task("right", 300, {"b": 1}),
        Task("talk", 600, {"a": 1}),
        Task("buff", 60, {"a": 1}),
    )
    lags = (Lag("both", "buff", min_s=100, max_s=500),)
    problem = Problem(tasks, lags, {"a": 1, "b": 1}, (LastOf("both", ("left", "right")),))
    day = plan(left=0, right=0, talk=300, buff=900)
    # Buff begins at 900 or 100 after right, whichever is later: past 500 only where right ended before 400.
    risk = simulate(problem, day, {"right": 0.5, "left": 0, "talk": 0}, RUNS)
    assert risk.lapse_of["buff"] == near(stats.lognorm(s=0.5, scale=300).cdf(400))


def test_of_two_latest_moments_of_one_task_missing_either_counts():
    tasks = (Task("coat", 120), Task("polish", 600), Task("level", 60, latest_s=840))
    problem = Problem(tasks, (Lag("coat", "level", max_s=900), Lag("coat", "level", max_s=1000)))
    risk = simulate(problem, plan(coat=0, polish=120, level=720), {"coat": 0}, RUNS)
    assert risk.lapse_of["level"] == near(stats.lognorm(s=USUAL_SIGMA, scale=600).sf(720))


def test_nothing_begins_before_its_earliest_moment_however_soon_the_work_before_it_is_over():
    problem = Problem((Task("one", 300), Task("two", 60, earliest_s=300)))
    risk = simulate(problem, plan(one=0, two=300), {"one": 0.5, "two": 0}, RUNS)
    assert risk.finish_p50_s == pytest.approx(360, abs=4)
    alone = replace(problem, tasks=problem.tasks[1:])
    assert simulate(alone, plan(two=300), {"two": 0}, runs=2) == Risk(0, 360, 360, {})


def test_the_longer_of_two_forbidden_intervals_that_end_together_counts():
    tasks = (Task("coat", 300, {}), Task("dust", 60, {}, latest_s=700))
    forbidden = tuple(
        ForbiddenInterval(f"{s} s", "coat", "coat", frozenset({"dust"}), longer_s=s) for s in (200, 300, 100)
    )
    problem = Problem(tasks, capacities={}, forbidden=forbidden)
    risk = simulate(problem, plan(coat=0, dust=600), {"coat": 0.3}, RUNS)
    assert risk.lapse_of["dust"] == near(stats.lognorm(s=0.3, scale=300).sf(400))


def test_what_takes_no_time_needs_nobody_and_is_not_forbidden_against():
    tasks = (Task("coat", 300), Task("look", 0, latest_s=0), Task("level", 60))
    interval = ForbiddenInterval("open", "coat", "level", frozenset({"look"}))
    problem = Problem(tasks, forbidden=(interval,))
    day = plan(coat=0, level=300, look=0)
    assert simulate(problem, day, runs=50).lapse_of == {"look": 0}
    behind = replace(problem, tasks=(tasks[0], replace(tasks[1], latest_s=400), tasks[2]))
    assert simulate(behind, plan(coat=0, level=300, look=360), {"coat": 0.9}, runs=50).lapse_of == {"look": 0}


def test_a_minimum_that_looks_backwards_is_a_latest_moment():
    # Coat may start at most 400 s after the lamp was lit: wipe - 300 s in between.
    tasks = (Task("light", 10, {}), Task("wipe", 300), Task("coat", 60))
    problem = Problem(tasks, (Lag("coat", "light", min_s=-400, basis="start-start"),))
    risk = simulate(problem, plan(light=0, wipe=0, coat=300), {"wipe": 0.4}, RUNS)
    assert risk.lapse_of == {"coat": near(stats.lognorm(s=0.4, scale=300).sf(400))}


def test_two_plans_of_one_problem_meet_the_same_days():
    problem = Problem((Task("one", 600), Task("two", 60)))
    there, back = simulate(problem, plan(one=0, two=600)), simulate(problem, plan(two=0, one=60))
    assert there.finish_p50_s == pytest.approx(back.finish_p50_s, abs=1e-6)
    assert there == simulate(problem, plan(one=0, two=600))
    assert there != simulate(problem, plan(one=0, two=600), seed=1)


def test_a_plan_without_starts_cannot_be_tried_out():
    problem = Problem((Task("one", 600),))
    with pytest.raises(ValueError, match="no start for 'one'"):
        simulate(problem, Plan("infeasible"))
    with pytest.raises(ValueError, match="sigma is negative"):
        simulate(problem, plan(one=0), {"one": -0.1})
    with pytest.raises(ValueError, match="runs is 0"):
        simulate(problem, plan(one=0), runs=0)


def test_nothing_to_do_is_done_at_once():
    assert simulate(Problem(()), plan()) == Risk(0, 0, 0, {})
