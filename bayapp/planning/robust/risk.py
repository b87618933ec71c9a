"""How a plan fares when work takes longer or shorter than expected: a Monte Carlo simulation of many days.

Each run is a day on which people keep the plan's order. A task begins as soon as the hands and tools that do it have
finished what the plan gives them before, its minimum waits are over, no forbidden interval holds and its expected
length fits before the next break. What the plan holds back beyond that begins at its planned time at the soonest,
since the wall says when. A maximum wait that is missed counts as a lapse, and the day goes on. Nobody plans anew on the
way, so the chances are those of a day without the planner's help.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.from_bay.scatter import USUAL_SIGMA
from bayapp.planning.robust.schedule_simulation import ScheduleSimulation, Times

Missed = NDArray[np.bool_]

AT_ONCE = 500
"""Runs that are gone through together: all 4000 of a car's day would take 20 MB for a moment."""

HALF_A_MILLISECOND = 5e-4
"""Instants here are whole milliseconds, so less than half of one is no lapse but rounding."""


@dataclass(frozen=True, slots=True)
class Risk:
    """The result of many runs of one plan; chances are shares of the runs, times seconds from its beginning.

    Attributes:
        lapse_chance: that at least one maximum is missed.
        finish_p50_s, finish_p90_s: the last task has ended by then in half, and in nine tenths, of the runs.
        lapse_of: per task that has a maximum wait or a latest start, that it is missed.
    """

    lapse_chance: float
    finish_p50_s: float
    finish_p90_s: float
    lapse_of: Mapping[str, float]


def simulate(
    problem: Problem, plan: Plan, spread: Mapping[str, float] | None = None, runs: int = 4000, seed: int = 0
) -> Risk:
    """Return the chances of a plan under durations that are log-normal around the expected ones.

    Args:
        spread: task id to sigma of the logarithm of its duration, ``USUAL_SIGMA`` where it is silent. The expected
            duration is the median.
        seed: the same seed gives the same durations whatever the plan, so that plans of one problem can be compared.

    Raises:
        ValueError: the plan lacks the start of a task, a sigma is negative, or there are no runs.
    """
    missing = [t.id for t in problem.tasks if t.id not in plan.starts_s]
    if missing:
        raise ValueError(f"the plan has no start for {missing[0]!r}; only a plan with starts can be tried out")
    if runs < 1:
        raise ValueError(f"runs is {runs}; it takes at least 1")
    course = ScheduleSimulation(problem, plan)
    finish, late_runs, late_of = [], 0, Counter[str]()
    for durations in _durations(problem, spread or {}, runs, seed):
        starts, ends = course.run(durations)
        late = _lapses(course, starts, ends)
        any_late = np.zeros(durations.shape[1], dtype=np.bool_)
        for task, missed in late.items():
            any_late |= missed
            late_of[task] += int(missed.sum())
        late_runs += int(any_late.sum())
        finish.append(ends.max(axis=0, initial=0.0))
    p50, p90 = np.quantile(np.concatenate(finish), [0.5, 0.9])
    return Risk(late_runs / runs, float(p50), float(p90), {task: times / runs for task, times in late_of.items()})


def _durations(problem: Problem, spread: Mapping[str, float], runs: int, seed: int) -> Iterator[Times]:
    """Draw every task's duration in every run, a few runs at a time, a row for each task in the problem's order."""
    sigma = np.array([spread.get(t.id, USUAL_SIGMA) for t in problem.tasks])
    if (sigma < 0).any():
        raise ValueError("a sigma is negative; 0 means that a task always takes what is expected")
    median = np.array([float(t.duration_s) for t in problem.tasks])
    generator = np.random.default_rng(seed)
    for begun in range(0, runs, AT_ONCE):
        drawn = generator.standard_normal((len(problem.tasks), min(AT_ONCE, runs - begun)))
        drawn *= sigma[:, None]
        np.exp(drawn, out=drawn)
        drawn *= median[:, None]
        yield drawn


def _lapses(course: ScheduleSimulation, starts: Times, ends: Times) -> dict[str, Missed]:
    """Return, for each task with a latest moment, in which runs it was missed."""
    late: dict[str, Missed] = {}
    for task, by in _overdue(course, starts, ends):
        missed = by > HALF_A_MILLISECOND
        late[task] = late[task] | missed if task in late else missed
    return late


def _overdue(course: ScheduleSimulation, starts: Times, ends: Times) -> Iterator[tuple[str, Times]]:
    """Yield each latest moment's task, and how far past that moment it was in each run."""
    for task in course.problem.tasks:
        if task.latest_s is not None:
            yield task.id, starts[course.row[task.id]] - task.latest_s
    for lag in course.problem.lags:
        after = course.counts_from(lag, starts, ends)
        if after is None:
            continue
        start = starts[course.row[lag.then]]
        if lag.max_s is not None:
            yield lag.then, start - (after + lag.max_s)
        if not course.can_hold_back(lag):  # a minimum that looks backwards is a latest moment of what it counts from
            yield lag.first if lag.first in course.row else lag.then, after + lag.min_s - start
