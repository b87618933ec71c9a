"""Zone after zone with every wait idled away: what the order of the plan is measured against, worked out by hand."""

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.one_by_one import one_by_one
from tests.planning.support.checker import faults


def zones(count: int, wait_s: int = 300, **more: object) -> Problem:
    """Zones of a coat of 2 minutes and a buff of 1, with a wait between."""
    tasks = [t for z in range(count) for t in (Task(f"{z} coat", 120), Task(f"{z} buff", 60))]
    lags = [Lag(f"{z} coat", f"{z} buff", wait_s) for z in range(count)]
    return Problem(tuple(tasks), tuple(lags), **more)  # type: ignore[arg-type]


def alone(problem: Problem) -> Plan:
    plan = one_by_one(problem, {t.id: t.id.split()[0] for t in problem.tasks})
    assert faults(problem, plan) == []
    return plan


def test_one_person_idles_through_each_zones_wait():
    assert alone(zones(3)).makespan_s == 3 * (120 + 300 + 60)


def test_two_people_are_at_two_zones():
    assert alone(zones(4, capacities={"person": 2})).makespan_s == 2 * (120 + 300 + 60)


def test_where_a_wait_is_for_other_zones_the_next_is_begun():
    lasts = (LastOf("all", ("0 coat", "1 coat")),)
    tasks = tuple(t for z in "01" for t in (Task(f"{z} coat", 120), Task(f"{z} buff", 60)))
    problem = Problem(tasks, (Lag("all", "0 buff", 900), Lag("all", "1 buff", 900)), lasts=lasts)
    assert alone(problem).makespan_s == 2 * 120 + 900 + 2 * 60


def test_a_window_that_runs_is_kept_all_the_same():
    problem = Problem((*zones(1).tasks, Task("1 coat", 60, latest_s=100)), zones(1).lags)
    assert alone(problem).starts_s == {"1 coat": 0, "0 coat": 60, "0 buff": 480}


def test_a_window_that_opens_while_a_wait_is_idled_away_is_missed():
    problem = Problem((*zones(1).tasks, Task("1 coat", 60, earliest_s=150, latest_s=200)), zones(1).lags)
    plan = one_by_one(problem, {t.id: t.id.split()[0] for t in problem.tasks})
    assert (plan.status, [t.id for t in plan.clash if isinstance(t, Task)]) == ("unknown", ["1 coat"])
