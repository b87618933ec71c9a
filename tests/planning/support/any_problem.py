"""Small problems of every kind with a right plan each, for properties. The plans come of trying, not of any planner."""

from dataclasses import replace
from random import Random
from typing import get_args

from hypothesis import assume
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Basis, ForbiddenInterval, Lag, LastOf, Problem, Task
from tests.planning.support.checker import faults

CAPACITIES = {"person": 2, "lamp": 1, "ash": 1, "bo": 1}
FAR = 150


@st.composite
def planned_problems(draw: st.DrawFn, shortest: int = 0) -> tuple[Problem, Plan]:
    """A problem without latest moments, and a plan that obeys it; what comes later in the plan need not stand later."""
    tasks = tuple(draw(_tasks(f"t{i}", shortest)) for i in range(draw(st.integers(2, 6))))
    ids = [t.id for t in tasks]
    pairs = st.lists(st.sampled_from(ids), min_size=2, max_size=2, unique=True).map(sorted)
    waits = draw(st.lists(st.tuples(pairs, st.integers(-6, 9), st.sampled_from(get_args(Basis))), max_size=4))
    lags = [Lag(first, then, least, basis=basis) for (first, then), least, basis in waits]
    lasts: tuple[LastOf, ...] = ()
    if len(ids) > 2 and draw(st.booleans()):
        lasts = (LastOf("last", tuple(ids[:2]), draw(st.none() | st.integers(-9, 30))),)
        lags.append(Lag("last", ids[2], draw(st.integers(0, 9))))
    forbidden = tuple(draw(_forbidden(f"interval {i}", ids)) for i in range(draw(st.integers(0, 2))))
    closed = {name: ((20, 20 + draw(st.integers(1, 9))),) for name in draw(st.sets(st.sampled_from([*CAPACITIES])))}
    lags += [Lag(g.first, g.last) for g in forbidden if g.first and g.last and g.first != g.last]
    problem = Problem(tasks, tuple(lags), CAPACITIES, lasts, forbidden, closed)
    plan = _by_trying(problem, draw(st.lists(st.integers(0, 30), min_size=len(ids), max_size=len(ids))))
    assume(plan is not None and faults(problem, plan) == [])
    assert plan is not None
    return problem, plan


def any_order(problem: Problem, seed: int) -> dict[str, int]:
    """Starts to prefer, all different and in any order; none for seed 0, so that the scheduler's own order counts."""
    tasks = [t.id for t in problem.tasks] if seed else []
    Random(seed).shuffle(tasks)
    return {task: place for place, task in enumerate(tasks)}


@st.composite
def _tasks(draw: st.DrawFn, name: str, shortest: int) -> Task:
    uses, one_of = draw(
        st.sampled_from(
            [({"person": 1}, ()), ({"person": 2, "lamp": 1}, ()), ({}, ("ash", "bo")), ({"lamp": 1}, ("bo",))]
        )
    )
    return Task(name, draw(st.integers(shortest, 9)), uses, one_of, draw(st.integers(0, 5)))


@st.composite
def _forbidden(draw: st.DrawFn, name: str, ids: list[str]) -> ForbiddenInterval:
    first, last = sorted(draw(st.lists(st.sampled_from(ids), min_size=2, max_size=2)))
    against = draw(st.frozensets(st.sampled_from(ids), max_size=3)) - {first, last}
    return ForbiddenInterval(name, draw(st.sampled_from([first, None])), last, against, draw(st.integers(0, 9)))


def _by_trying(problem: Problem, begin_at: list[int]) -> Plan | None:
    """Place task after task at the first moment, from a given one on, at which nothing placed so far is wrong."""
    starts: dict[str, int] = {}
    done_by: dict[str, str] = {}
    for place, (task, begin) in enumerate(zip(problem.tasks, begin_at, strict=True)):
        part = _only(problem, problem.tasks[: place + 1])
        for moment in range(begin, FAR):
            hands = {task.id: task.one_of[moment % len(task.one_of)]} if task.one_of else {}
            found = _plan(part, {**starts, task.id: moment}, {**done_by, **hands})
            if not faults(part, found):
                break
        else:
            return None
        starts[task.id] = moment
        done_by |= hands
    return _plan(problem, starts, done_by)


def _plan(problem: Problem, starts: dict[str, int], done_by: dict[str, str]) -> Plan:
    return Plan("feasible", max(starts[t.id] + t.duration_s for t in problem.tasks), None, starts, done_by)


def _only(problem: Problem, tasks: tuple[Task, ...]) -> Problem:
    """The problem with these tasks only, and of its rules those that speak of no other."""
    ids = {t.id for t in tasks}
    lasts = tuple(m for m in problem.lasts if ids.issuperset(m.tasks))
    moments = ids | {m.id for m in lasts}
    forbidden = tuple(
        replace(g, against=g.against & ids) for g in problem.forbidden if ids.issuperset({g.first, g.last} - {None})
    )
    lags = tuple(lag for lag in problem.lags if {lag.first, lag.then} <= moments)
    return replace(problem, tasks=tasks, lags=lags, lasts=lasts, forbidden=forbidden)
