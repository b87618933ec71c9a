"""The search is first as little late as can be, then soon: held against all orders, tried one by one."""

from collections.abc import Iterator
from itertools import accumulate, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, Problem, Promise, Task
from bayapp.planning.core.promises import lateness_s
from bayapp.planning.solver.solve import solve
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults


def cars(*of: tuple[int, int]) -> Problem:
    """One pair of hands and a task for each car: how long it takes, and by when it was promised."""
    tasks = tuple(Task(f"car {n}", takes) for n, (takes, _) in enumerate(of))
    promised = (Promise(t.id, by, frozenset({t.id}), {t.id: 0}) for t, (_, by) in zip(tasks, of, strict=True))
    return Problem(tasks, promises=tuple(promised))


def least_of_all_orders(*of: tuple[int, int]) -> int:
    """The total tardiness of one machine, 1||ΣT, by trying every order."""

    def late(order: tuple[tuple[int, int], ...]) -> int:
        ends = accumulate(takes for takes, _ in order)
        return sum(max(0, end - by) for end, (_, by) in zip(ends, order, strict=True))

    return min(late(order) for order in permutations(of))


@given(st.lists(st.tuples(st.integers(1, 600), st.integers(-100, 1_500)), min_size=1, max_size=6))
@settings(max_examples=25, deadline=None)
def test_no_order_of_one_person_s_work_is_less_late(of: list[tuple[int, int]]):
    problem = cars(*of)
    plan = solve(problem, Effort(0.5, 1, patience=50))
    assert faults(problem, plan) == []
    assert lateness_s(problem, plan) == least_of_all_orders(*of)


def test_a_promise_is_kept_though_all_would_end_sooner_without():
    """The coat that dries for an hour would go first; then what was promised would be late."""
    tasks = (Task("coat", 600), Task("level", 60), Task("wash", 300))
    dries = (Lag("coat", "level", 3_600),)
    promised = Problem(tasks, dries, promises=(Promise("wash", 300, frozenset({"wash"}), {"wash": 0}),))
    assert solve(Problem(tasks, dries), Effort(0.2)).makespan_s == 4_260
    plan = solve(promised, Effort(0.2))
    assert (plan.starts_s["wash"], plan.makespan_s, plan.status) == (0, 4_560, "optimal")


@given(planned_problems(shortest=1), st.integers(0, 500))
@settings(max_examples=15, deadline=None)
def test_whatever_was_promised_the_plan_obeys_the_problem(planned: tuple[Problem, Plan], by: int):
    plain, _ = planned
    ids = [task.id for task in plain.tasks]
    half = frozenset(ids[::2])
    problem = Problem(
        plain.tasks,
        plain.lags,
        plain.capacities,
        plain.lasts,
        plain.forbidden,
        plain.closed,
        (Promise("half", by, half, dict.fromkeys(half, 30)),),
    )
    free, kept = (solve(one, Effort(0.2, 1, patience=50)) for one in (plain, problem))
    assert faults(problem, kept) == []
    assert bool(kept.starts_s) == bool(free.starts_s)
    if kept.starts_s:
        assert lateness_s(problem, kept) <= lateness_s(problem, free)


def each_better(problem: Problem) -> Iterator[Plan]:
    found: list[Plan] = []
    solve(problem, Effort(0.2), on_better=found.append)
    return iter(found)


def test_every_plan_that_is_passed_on_is_at_most_as_late_as_the_one_before():
    problem = cars((300, 2_000), (500, 600), (200, 250), (400, 1_500))
    late = [lateness_s(problem, plan) for plan in each_better(problem)]
    assert late == sorted(late, reverse=True)
    assert late[-1] == least_of_all_orders((300, 2_000), (500, 600), (200, 250), (400, 1_500))


@pytest.mark.parametrize("by", [-5_000, 100_000])
def test_a_promise_that_is_broken_or_kept_anyway_keeps_nobody_from_ending_soon(by: int):
    tasks = (Task("coat", 600), Task("level", 60), Task("wash", 300))
    problem = Problem(
        tasks, (Lag("coat", "level", 3_600),), promises=(Promise("all", by, frozenset({"level"}), {"level": 0}),)
    )
    assert solve(problem, Effort(0.2)).makespan_s == 4_260
