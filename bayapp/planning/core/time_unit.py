"""A problem told in the longest unit of time that all its numbers are whole in."""

from collections.abc import Iterator
from dataclasses import replace
from math import gcd

from bayapp.planning.core.problem import Problem


def unit_of(problem: Problem) -> int:
    """Return the most seconds of which every time in the problem is a whole number; at least 1."""
    return gcd(*_times(problem)) or 1


def in_units(problem: Problem, unit: int) -> Problem:
    """Return the problem with every time divided by ``unit``, which must divide them all."""
    return replace(
        problem,
        tasks=tuple(
            replace(t, duration_s=t.duration_s // unit, earliest_s=t.earliest_s // unit, latest_s=_in(t.latest_s, unit))
            for t in problem.tasks
        ),
        lags=tuple(replace(lag, min_s=lag.min_s // unit, max_s=_in(lag.max_s, unit)) for lag in problem.lags),
        lasts=tuple(replace(last, not_before_s=_in(last.not_before_s, unit)) for last in problem.lasts),
        guards=tuple(replace(guard, longer_s=guard.longer_s // unit) for guard in problem.guards),
        closed={r: tuple((a // unit, b // unit) for a, b in away) for r, away in problem.closed.items()},
    )


def _times(problem: Problem) -> Iterator[int]:
    for task in problem.tasks:
        yield from (task.duration_s, task.earliest_s, task.latest_s or 0)
    for lag in problem.lags:
        yield from (lag.min_s, lag.max_s or 0)
    for last in problem.lasts:
        yield last.not_before_s or 0
    for guard in problem.guards:
        yield guard.longer_s
    for away in problem.closed.values():
        for stretch in away:
            yield from stretch


def _in(seconds: int | None, unit: int) -> int | None:
    return None if seconds is None else seconds // unit
