"""Orders of the work in which what was promised sooner goes first, more and more so."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.promises import lateness_s, least_lateness_s
from bayapp.planning.heuristic.list_scheduling import ListScheduler

PRESSES = (1.5, False), (4.0, True), (1_000.0, True)
"""How many times as much the work of a promise counts as that of the next later one, and whether it waits for none of
that; the last puts it before all."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """By what the list scheduler puts work first: its weights and ranks."""

    weights: Mapping[str, float] = field(default_factory=dict)
    ranks: Mapping[str, int] = field(default_factory=dict)


def pressed(problem: Problem) -> Iterator[Pressed]:
    """Yield orders by which the earliest due date goes first, ever more so (J. R. Jackson, 1955; from memory)."""
    later_first = sorted(problem.promises, key=lambda promise: (-promise.by_s, promise.id))
    ranks = {task: rank for rank, promise in enumerate(later_first, start=1) for task in sorted(promise.tasks)}
    for press, at_once in PRESSES:
        weights = {task: press ** ranks.get(task, 0) for task in problem.task_of}
        yield Pressed(weights, ranks if at_once else {})


def less_late(problem: Problem, plan: Plan) -> tuple[Plan, Pressed]:
    """Return a list schedule less late for the promises than a plan with starts, and its order; else the plan.

    Where the plan is as little late as can be, or nothing was promised, nothing is tried.
    """
    best, order, late = plan, Pressed(), lateness_s(problem, plan)
    if not late or late <= (least := least_lateness_s(problem)):
        return best, order
    scheduler = ListScheduler(with_implied(problem))
    for tried in pressed(problem):
        found = scheduler.run(tried.weights, ranks=tried.ranks)
        if found.starts_s and lateness_s(problem, found) < late:
            best, order, late = found, tried, lateness_s(problem, found)
        if late <= least:
            break
    return best, order
