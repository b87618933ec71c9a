"""How much time must still follow each task, by the waits alone."""

from collections import defaultdict
from collections.abc import Iterable

from bayapp.planning.core.problem import Lag, LastOf, Problem


def tails(problem: Problem, more: Iterable[Lag] = ()) -> dict[str, int]:
    """Return for each task the least time from its start to the end of all that must come after it, in seconds.

    ``more``: waits that count as if they were the problem's own.
    """
    after: dict[str, list[tuple[str, int]]] = defaultdict(list)
    durations = {t.id: t.duration_s for t in problem.tasks}
    for lag in (*problem.lags, *more):
        own = durations.get(lag.first, 0) if lag.basis == "end-start" else 0
        if own + lag.min_s >= 0:
            after[lag.first].append((lag.then, own + lag.min_s))
    for last in problem.lasts:
        for task in last.tasks:
            after[task].append((last.id, durations[task]))
    found: dict[str, int] = {}
    for name in [*durations, *(last.id for last in problem.lasts)]:
        _tail(name, after, durations, found)
    return found


def first_moment(last: LastOf) -> int:
    """Return the earliest that a ``LastOf`` can be; it may lie before the plan where nothing of it is left to do."""
    floor = last.not_before_s or 0
    return max(0, floor) if last.tasks else floor


def _tail(name: str, after: dict[str, list[tuple[str, int]]], durations: dict[str, int], found: dict[str, int]) -> None:
    """Work out one tail without recursion, because ladders can be long. A cycle is not followed."""
    path = [name]
    while path:
        top = path[-1]
        if top not in found:
            found[top] = durations.get(top, 0)
            path += [n for n, _ in after.get(top, ()) if n not in found]
        else:
            path.pop()
            found[top] = max([found[top], *(step + found.get(n, 0) for n, step in after.get(top, ()))])
