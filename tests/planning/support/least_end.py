"""An end that no plan can beat, put together from the planner's bounds on single tasks."""

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.problem import Problem


def least_end(problem: Problem) -> int:
    """Each task's earliest start and the least that is left from there on, in seconds."""
    starts, left = earliest_starts(problem), least_left(problem)
    return max((starts[name] + left[name] for name in starts), default=0)
