"""What must come before what although no wait says so: guards and a known latest end leave no other way."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.problem import Guard, Lag, LastOf, Problem, Task
from bayapp.planning.core.transitive_precedence import leads_to

MOST_ROUNDS = 6


def with_implied(problem: Problem, latest_s: int | None = None) -> Problem:
    """Return the problem with waits that follow from its guards; every plan that ends by ``latest_s`` obeys them.

    A task that a guard is against comes after the guard's end where it can only come after its beginning. It comes
    before where the guard's own last task needs it (all glass is buffed together: every pane is polished before the
    first is coated), and where it would end too late if it came after.
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
    """Return the tasks, none earlier than the end of a guard that has begun and whose end is known."""
    ends: dict[str, int] = {}
    for guard in problem.guards:
        if guard.first is None and guard.last is None:
            ends |= {t: max(guard.longer_s, ends.get(t, 0)) for t in guard.against}
    return tuple(
        replace(task, earliest_s=max(task.earliest_s, ends.get(task.id, 0))) if task.duration_s else task
        for task in problem.tasks
    )


def _after(problem: Problem) -> list[Lag]:
    reached = leads_to(problem)
    begun = [
        Lag(guard.last, task, guard.longer_s)
        for guard in problem.guards
        if guard.first is None and guard.last is not None
        for task in sorted(guard.against - {guard.last})
        if problem.task_of[task].duration_s and guard.last not in reached[task]
    ]
    return begun + [
        Lag(guard.last, task, guard.longer_s)
        for guard in problem.guards
        if guard.first is not None and guard.last is not None
        for task in sorted(guard.against & reached[guard.first])
        if task != guard.last and guard.last not in reached[task]
    ]


def _shut_out(problem: Problem) -> dict[str, frozenset[str]]:
    """Return for each guard, by its name, the tasks it is against that can only come before it, whatever the end."""
    reached = leads_to(problem)
    return {
        guard.id: frozenset(t for t in guard.against - reached[guard.first] if guard.last in reached[t])
        for guard in problem.guards
        if guard.first is not None and guard.last is not None
    }


def _too_late_after(
    problem: Problem, known: Problem, shut: dict[str, frozenset[str]], latest_s: int
) -> dict[str, frozenset[str]]:
    """Return the same and more: tasks that would end too late after a guard, by what is known of both so far."""
    reached, starts, left = leads_to(problem), earliest_starts(known), least_left(known)
    found = dict(shut)
    for guard in problem.guards:
        if guard.first is not None and guard.last is not None:
            ends = starts[guard.last] + problem.task_of[guard.last].duration_s + guard.longer_s
            late = (t for t in guard.against - reached[guard.first] if ends + left[t] > latest_s)
            found[guard.id] = found[guard.id] | frozenset(late)
    return found


def _turns(problem: Problem, shut: dict[str, frozenset[str]]) -> tuple[list[LastOf], list[Lag]]:
    """Return a moment for each set of tasks that must come before guards, and that their first tasks come after it.

    What a guard would shut out but comes before it anyway, on its own ladder, counts too.
    """
    reached = leads_to(problem)
    watched = {task for guard in problem.guards for task in guard.against}
    shut_by: dict[str, set[str]] = defaultdict(set)
    for guard in problem.guards:
        if guard.first is not None and shut.get(guard.id):
            shut_by[guard.first] |= shut[guard.id]
    alike: dict[frozenset[str], list[str]] = defaultdict(list)
    for first, before in sorted(shut_by.items()):
        must = frozenset(before | {t for t in watched if first in reached[t]})
        alike[must].append(first)
    turns, lags = [], []
    for number, (tasks, after) in enumerate(alike.items(), 1):
        turns.append(LastOf(f"turn {number}", tuple(sorted(tasks))))
        lags += [Lag(f"turn {number}", first) for first in after]
    return turns, lags


def families(guards: Iterable[Guard]) -> list[list[Guard]]:
    """Return guards in groups such that no task stands against guards of two groups: dust here, water there."""
    found: list[tuple[set[str], list[Guard]]] = []
    for guard in guards:
        tasks, members = set(guard.against), [guard]
        for known in [f for f in found if not f[0].isdisjoint(tasks)]:
            found.remove(known)
            tasks |= known[0]
            members = [*known[1], *members]
        found.append((tasks, members))
    return [members for _, members in found]
