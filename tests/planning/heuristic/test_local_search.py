"""A tidied plan is never worse: it obeys every rule, ends no later, is no less safe and needs no more walking."""

from collections.abc import Callable, Mapping
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.effort import never
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, Problem, Task
from bayapp.planning.core.table import Table
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.heuristic.local_search import local_search
from bayapp.planning.orders import Ways, people_of
from tests.planning.support.any_bay import bays
from tests.planning.support.any_problem import any_order
from tests.planning.support.checker import faults

Way = Callable[[str, str], int]


def walked(plan: Plan, way: Way, person_of: Mapping[str, object]) -> int:
    """What all the walks and changes cost, person by person."""
    found = 0
    for person in {str(p) for p in person_of.values()}:
        line = sorted((t for t in plan.starts_s if str(person_of[t]) == person), key=lambda t: (plan.starts_s[t], t))
        found += sum(way(a, b) for a, b in pairwise(line))
    return found


@given(bays(), st.integers(0, 3))
@settings(deadline=None, max_examples=40)
def test_whatever_the_plan_a_tidied_one_is_never_worse(bay: Situation, seed: int):
    work = work_of(bay)
    plan = list_schedule(work.problem, prefer=any_order(work.problem, seed))
    if not plan.starts_s:
        return
    ways = Ways(work, bay.state)
    people = people_of(work, plan, ways)
    tidied = local_search(work.problem, plan, ways, lambda task: str(people[task]), never)
    assert faults(work.problem, tidied) == []
    assert (tidied.makespan_s or 0) <= (plan.makespan_s or 0)
    assert Table(work.problem, tidied).shortfall() <= Table(work.problem, plan).shortfall()
    assert walked(tidied, ways, people) <= walked(plan, ways, people)


def by_side(a: str, b: str) -> int:
    return int(a.partition(" ")[0] != b.partition(" ")[0])


def laid(*names: str, **more: Lag) -> tuple[Problem, Plan]:
    """Tasks of a minute each, in this order, one after the other."""
    problem = Problem(tuple(Task(n, 60) for n in names), tuple(more.values()))
    return problem, Plan("feasible", 60 * len(names), None, {n: 60 * i for i, n in enumerate(names)})


def order(plan: Plan) -> list[str]:
    return sorted(plan.starts_s, key=lambda t: plan.starts_s[t])


def test_tasks_of_one_side_are_done_together():
    problem, plan = laid("left 1", "right 1", "left 2", "right 2")
    assert order(local_search(problem, plan, by_side, lambda t: "Ash", never)) == [
        "left 1",
        "left 2",
        "right 1",
        "right 2",
    ]


def test_no_order_is_turned_that_a_wait_needs():
    problem, plan = laid("left 1", "right 1", "left 2", needs=Lag("right 1", "left 2"))
    assert order(local_search(problem, plan, by_side, lambda t: "Ash", never)) == ["left 1", "right 1", "left 2"]


def test_nobody_is_given_the_task_of_another():
    problem, plan = laid("left 1", "right 1", "left 2")
    person = {"left 1": "Ash", "right 1": "Bo", "left 2": "Bo"}
    assert order(local_search(problem, plan, by_side, person.__getitem__, never)) == ["left 1", "right 1", "left 2"]


def test_a_needless_wait_is_taken_out():
    problem = Problem((Task("a", 60), Task("b", 60)))
    tidied = local_search(problem, Plan("feasible", 400, 120, {"a": 10, "b": 340}), by_side, lambda t: "Ash", never)
    assert (dict(tidied.starts_s), tidied.makespan_s, tidied.bound_s) == ({"a": 0, "b": 60}, 120, 120)


def test_what_must_begin_at_once_stays_where_it_is():
    problem = Problem((Task("left 1", 60, latest_s=0), Task("right 1", 60), Task("left 2", 60)))
    plan = Plan("feasible", 180, None, {"left 1": 0, "right 1": 60, "left 2": 120})
    assert local_search(problem, plan, by_side, lambda t: "Ash", never).starts_s["left 1"] == 0


def test_when_it_is_stopped_the_plan_is_right_all_the_same():
    problem, plan = laid("left 1", "right 1", "left 2", "right 2")
    assert faults(problem, local_search(problem, plan, by_side, lambda t: "Ash", lambda: True)) == []
