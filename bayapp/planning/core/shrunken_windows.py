"""A problem with narrower windows: plans of it hold for the problem itself, with time to spare."""

from dataclasses import replace

from bayapp.planning.core.problem import Lag, Problem, Task


def with_shrunken_windows(problem: Problem, share: float) -> Problem:
    """Return the problem with a share of every window taken off its end, so that work may take longer than planned."""

    def less(low: int, high: int) -> int:
        return high - round((high - low) * share)

    def sooner(lag: Lag) -> Lag:
        if lag.max_s is None or lag.max_s <= 0:  # one that closes before its step ends has nothing to spare
            return lag
        return replace(lag, max_s=less(max(lag.min_s, -lag.max_s), lag.max_s))

    def nearer(task: Task) -> Task:
        if task.latest_s is None or task.latest_s <= task.earliest_s:
            return task
        return replace(task, latest_s=less(task.earliest_s, task.latest_s))

    return replace(
        problem, lags=tuple(sooner(lag) for lag in problem.lags), tasks=tuple(nearer(t) for t in problem.tasks)
    )
