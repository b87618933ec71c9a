"""Bounds on the end of a plan, upper and lower, before any search."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from bayapp.planning.core.problem import Lag, Problem
from bayapp.planning.core.tails import first_moment
from bayapp.planning.core.transitive_precedence import all_successors


def horizon(problem: Problem) -> int:
    """Return a time by which some plan ends, if there is a plan at all.

    In the worst case every task waits for all the others and for every stretch in which people are away.
    """
    longest: dict[str, int] = {t.id: t.duration_s for t in problem.tasks}
    for lag in problem.lags:
        if lag.first in longest:
            whole = lag.min_s + (problem.task_of[lag.first].duration_s if lag.basis == "end-start" else 0)
            longest[lag.first] = max(longest[lag.first], whole)
    total = sum(longest.values()) + max((t.earliest_s for t in problem.tasks), default=0)
    total += sum(max(0, lag.min_s) for lag in problem.lags if lag.first not in longest)
    total += sum(max(0, interval.longer_s) for interval in problem.forbidden)
    total += max([0, *(last.not_before_s or 0 for last in problem.lasts)])
    away = [stretch for stretches in problem.closed.values() for stretch in stretches]
    return total + sum(ends - begins for begins, ends in away) + max((ends for _, ends in away), default=0)


def earliest_starts(problem: Problem) -> dict[str, int]:
    """Return the earliest start of each task, and the earliest moment of each ``LastOf``, in seconds.

    The waits before it must have passed, and people and tools must have done all the work before it.
    """
    before: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for lag in problem.lags:
        before[lag.then].append((lag.first, _own(problem, lag) + lag.min_s))
    for last in problem.lasts:
        before[last.id] += [(t, problem.task_of[t].duration_s) for t in last.tasks]
    floor = {t.id: t.earliest_s for t in problem.tasks}
    floor |= {last.id: first_moment(last) for last in problem.lasts}
    needed: dict[str, set[str]] = defaultdict(set)
    for task, later in all_successors(problem).items():
        for other in later:
            needed[other].add(task)
    return _longest(problem, floor, before, needed, dict.fromkeys(floor, 0))


def least_left(problem: Problem) -> dict[str, int]:
    """Return the least time from the start of each task, or from a ``LastOf``, to the end of any plan, in seconds."""
    after: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for lag in problem.lags:
        after[lag.first].append((lag.then, _own(problem, lag) + lag.min_s))
    for last in problem.lasts:
        for task in last.tasks:
            after[task].append((last.id, problem.task_of[task].duration_s))
    floor = {t.id: t.duration_s for t in problem.tasks} | dict.fromkeys((last.id for last in problem.lasts), 0)
    nearest = floor | {last.id: min((s for _, s in after[last.id] if s >= 0), default=0) for last in problem.lasts}
    return _longest(problem, floor, after, {**_reached_from_lasts(problem), **all_successors(problem)}, nearest)


def _own(problem: Problem, lag: Lag) -> int:
    first = problem.task_of.get(lag.first)
    return first.duration_s if first and lag.basis == "end-start" else 0


def _reached_from_lasts(problem: Problem) -> dict[str, set[str]]:
    later = all_successors(problem)
    found: dict[str, set[str]] = {}
    for last in problem.lasts:
        then = {lag.then for lag in problem.lags if lag.first == last.id and lag.min_s >= 0}
        found[last.id] = then.union(*(later[t] for t in then))
    return found


def _longest(
    problem: Problem,
    floor: Mapping[str, int],
    edges: Mapping[str, list[tuple[str, int]]],
    beyond: Mapping[str, Iterable[str]],
    nearest: Mapping[str, int],
) -> dict[str, int]:
    """Return the longest path along edges of 0 or more; each node also bears the load of the work beyond it.

    That work is no nearer than ``nearest``. A cycle is not followed.
    """
    found: dict[str, int] = {}
    for name in floor:
        path = [name]
        while path:
            top = path[-1]
            ways = [(n, s) for n, s in edges.get(top, ()) if s >= 0]
            if top not in found:
                found[top] = floor[top]
                path += [n for n, _ in ways if n not in found]
            else:
                path.pop()
                work = [nearest[top] + _energy(problem, beyond[top])] if beyond.get(top) else []
                found[top] = max([found[top], *work, *(s + found.get(n, 0) for n, s in ways)])
    return found


def _energy(problem: Problem, tasks: Iterable[str]) -> int:
    """Return how long the busiest resource needs for these tasks."""
    work: dict[str, int] = defaultdict(int)
    for name in tasks:
        task = problem.task_of.get(name)
        if task:
            for resource, amount in task.uses.items():
                work[resource] += task.duration_s * amount
    return max((-(-done // problem.capacities[r]) for r, done in work.items() if problem.capacities[r]), default=0)
