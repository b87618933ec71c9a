"""How late a plan can end at most, and how early at least, before any search. Knows no solver."""

from bayapp.planning.problem import Problem


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
    total += sum(max(0, guard.longer_s) for guard in problem.guards)
    total += max((last.not_before_s or 0 for last in problem.lasts), default=0)
    away = [stretch for stretches in problem.closed.values() for stretch in stretches]
    return total + sum(ends - begins for begins, ends in away) + max((ends for _, ends in away), default=0)


def least_makespan(problem: Problem) -> int:
    """Return an end that no plan can beat: each resource must do all of its work while it is there."""
    return max((_least(problem, r, n) for r, n in problem.capacities.items()), default=0)


def _least(problem: Problem, resource: str, capacity: int) -> int:
    work = sum(t.duration_s * t.uses.get(resource, 0) for t in problem.tasks)
    left = -(-work // capacity) if capacity else 0
    if not left:
        return 0
    at = min(t.earliest_s for t in problem.tasks if t.uses.get(resource))
    for begins, ends in sorted(problem.closed.get(resource, ())):
        if ends <= at:
            continue
        if begins - at >= left:
            break
        left -= max(0, begins - at)
        at = ends
    return at + left
