"""Orders of the work in which what was promised sooner goes first, more and more so."""

from collections.abc import Iterator, Mapping

from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.promises import lateness_s, least_lateness_s
from bayapp.planning.heuristic.list_scheduling import ListScheduler

PRESSES = 1.5, 4.0, 1_000.0
"""How many times as much the work of a promise counts as that of the next later one; the last puts it before all."""

Weights = Mapping[str, float]


def pressing(problem: Problem) -> Iterator[Weights]:
    """Yield weights by which the earliest due date goes first, ever more so (J. R. Jackson, 1955; from memory)."""
    later_first = sorted(problem.promises, key=lambda promise: (-promise.by_s, promise.id))
    for press in PRESSES:
        yield {
            task: press**place for place, promise in enumerate(later_first, start=1) for task in sorted(promise.tasks)
        }


def less_late(problem: Problem, plan: Plan) -> tuple[Plan, Weights]:
    """Return a list schedule less late for the promises than a plan with starts, and its weights; else the plan.

    Where the plan is as little late as can be, or nothing was promised, nothing is tried.
    """
    best, weights, late, least = plan, dict[str, float](), lateness_s(problem, plan), least_lateness_s(problem)
    if late <= least:
        return best, weights
    scheduler = ListScheduler(with_implied(problem))
    for tried in pressing(problem):
        found = scheduler.run(dict.fromkeys(problem.task_of, 1.0) | dict(tried))
        if found.starts_s and lateness_s(problem, found) < late:
            best, weights, late = found, dict(tried), lateness_s(problem, found)
        if late <= least:
            break
    return best, weights
