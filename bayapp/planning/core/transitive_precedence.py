"""Which task must come after which, by the waits alone."""

from collections import defaultdict

from bayapp.planning.core.problem import Problem


def successors(problem: Problem) -> dict[str, set[str]]:
    """Return for each task those that a wait of 0 or more puts straight after it, moments included."""
    after: dict[str, set[str]] = defaultdict(set)
    for lag in problem.lags:
        first = problem.task_of.get(lag.first)
        own = 0 if first is None or lag.basis == "end-start" else first.duration_s
        if lag.min_s >= own:
            after[lag.first].add(lag.then)
    for last in problem.lasts:
        for task_id in last.tasks:
            after[task_id].add(last.id)
    return after


def all_successors(problem: Problem) -> dict[str, set[str]]:
    """Return for each task every task that cannot start before it has ended."""
    after = successors(problem)
    found: dict[str, set[str]] = {}
    for task in problem.tasks:
        seen: set[str] = set()
        open_ends = [task.id]
        while open_ends:
            for later in after.get(open_ends.pop(), ()):
                if later not in seen:
                    seen.add(later)
                    open_ends.append(later)
        found[task.id] = seen
    return found
