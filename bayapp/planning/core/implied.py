"""Implied precedence: what must come before what by forbidden intervals and a known latest end, without a wait."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.core.transitive_precedence import all_successors

MOST_ROUNDS = 6


def with_implied(problem: Problem, latest_s: int | None = None) -> Problem:
    """Return the problem with the waits that its forbidden intervals imply for any plan that ends by ``latest_s``.

    A task that an interval forbids comes after its end if it cannot come before its beginning. It comes before
    if the interval's own last task needs it (all glass is buffed together: every pane is polished before the first
    is coated), or if it would end too late if it came after.
    """
    with_after = replace(problem, tasks=_after_what_is_over(problem), lags=(*problem.lags, *_after(problem)))
    known, shut = with_after, _shut_out(with_after)
    for _ in range(MOST_ROUNDS):
        turns, lags = _turns(with_after, shut)
        known = replace(with_after, lags=(*with_after.lags, *lags), lasts=(*with_after.lasts, *turns))
        more = shut if latest_s is None else _too_late_after(with_after, known, shut, latest_s)
        if more == shut:
            break
        shut = more
    return known


def _after_what_is_over(problem: Problem) -> tuple[Task, ...]:
    """Return the tasks, none earlier than the end of a forbidden interval that has begun and whose end is known."""
    ends: dict[str, int] = {}
    for interval in problem.forbidden:
        if interval.first is None and interval.last is None:
            ends |= {t: max(interval.longer_s, ends.get(t, 0)) for t in interval.against}
    return tuple(
        replace(task, earliest_s=max(task.earliest_s, ends.get(task.id, 0))) if task.duration_s else task
        for task in problem.tasks
    )


def _after(problem: Problem) -> list[Lag]:
    reached = all_successors(problem)
    begun = [
        Lag(interval.last, task, interval.longer_s)
        for interval in problem.forbidden
        if interval.first is None and interval.last is not None
        for task in sorted(interval.against - {interval.last})
        if problem.task_of[task].duration_s and interval.last not in reached[task]
    ]
    return begun + [
        Lag(interval.last, task, interval.longer_s)
        for interval in problem.forbidden
        if interval.first is not None and interval.last is not None
        for task in sorted(interval.against & reached[interval.first])
        if task != interval.last and interval.last not in reached[task]
    ]


def _shut_out(problem: Problem) -> dict[str, frozenset[str]]:
    """Return for each interval, by its id, the tasks it forbids that can only come before it, whatever the end."""
    reached = all_successors(problem)
    return {
        interval.id: frozenset(t for t in interval.against - reached[interval.first] if interval.last in reached[t])
        for interval in problem.forbidden
        if interval.first is not None and interval.last is not None
    }


def _too_late_after(
    problem: Problem, known: Problem, shut: dict[str, frozenset[str]], latest_s: int
) -> dict[str, frozenset[str]]:
    """Return these and the tasks that would end too late after an interval, by what is known of both so far."""
    reached, starts, left = all_successors(problem), earliest_starts(known), least_left(known)
    found = dict(shut)
    for interval in problem.forbidden:
        if interval.first is not None and interval.last is not None:
            ends = starts[interval.last] + problem.task_of[interval.last].duration_s + interval.longer_s
            late = (t for t in interval.against - reached[interval.first] if ends + left[t] > latest_s)
            found[interval.id] = found[interval.id] | frozenset(late)
    return found


def _turns(problem: Problem, shut: dict[str, frozenset[str]]) -> tuple[list[LastOf], list[Lag]]:
    """Return a moment for each set of tasks that must precede intervals, and lags from it to what begins these.

    Tasks that an interval would shut out but that precede it anyway, on their own ladder, are included.
    """
    reached = all_successors(problem)
    watched = {task for interval in problem.forbidden for task in interval.against}
    shut_by: dict[str, set[str]] = defaultdict(set)
    for interval in problem.forbidden:
        if interval.first is not None and shut.get(interval.id):
            shut_by[interval.first] |= shut[interval.id]
    alike: dict[frozenset[str], list[str]] = defaultdict(list)
    for first, before in sorted(shut_by.items()):
        must = frozenset(before | {t for t in watched if first in reached[t]})
        alike[must].append(first)
    turns, lags = [], []
    for number, (tasks, after) in enumerate(alike.items(), 1):
        turns.append(LastOf(f"turn {number}", tuple(sorted(tasks))))
        lags += [Lag(f"turn {number}", first) for first in after]
    return turns, lags


def families(forbidden: Iterable[ForbiddenInterval]) -> list[list[ForbiddenInterval]]:
    """Return the intervals in groups such that no task is forbidden by two groups: dust here, water there."""
    found: list[tuple[set[str], list[ForbiddenInterval]]] = []
    for interval in forbidden:
        tasks, members = set(interval.against), [interval]
        for known in [f for f in found if not f[0].isdisjoint(tasks)]:
            found.remove(known)
            tasks |= known[0]
            members = [*known[1], *members]
        found.append((tasks, members))
    return [members for _, members in found]
