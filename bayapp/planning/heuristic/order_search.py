"""A search over priorities: list schedules with other weights, each a small change of the best ones so far."""

from collections import defaultdict
from collections.abc import Iterator
from random import Random

from bayapp.planning.core.chains import chains
from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.promises import no_later
from bayapp.planning.heuristic.list_scheduling import ListScheduler
from bayapp.planning.heuristic.partial_schedule import FAR
from bayapp.planning.heuristic.promised_orders import Pressed, less_late

MOST_TIMES = 1.4
"""How many times as much, or as little, a group of tasks counts in a try as in the best one so far, at most."""
BEGUN_A_SECOND = 50_000
"""How many tasks begun one second is taken for, to be divided by the root of how many tasks there are."""


def better_orders(problem: Problem, seconds: float) -> Iterator[Plan]:
    """Yield the best list schedule so far after each try; a try is given up once it cannot end as soon as that.

    Tasks that waits tie together, and tasks of one kind, go sooner or later together: all of a rim, all that is
    polished. Which weights are tried depends on the problem alone, so that the same problem has the same plans. Where
    something was promised, it begins with the least late order, and goes on to none that is later for any of it.
    """
    random, scheduler, weights = Random(0), ListScheduler(with_implied(problem)), dict.fromkeys(problem.task_of, 1.0)
    kinds: dict[str, list[str]] = defaultdict(list)
    for task in problem.tasks:
        kinds[task.kind].append(task.id)
    groups = [*chains(problem), *kinds.values()]
    best, begun, order = scheduler.run(), 0, Pressed()
    if best.starts_s:
        best, order = less_late(problem, best)
        weights |= order.weights
    while begun * len(problem.tasks) ** 0.5 < seconds * BEGUN_A_SECOND:
        tried = dict(weights)
        for group in groups:
            times = MOST_TIMES ** random.uniform(-1, 1)
            tried |= {task: tried[task] * times for task in group}
        found = scheduler.run(tried, FAR if best.makespan_s is None else best.makespan_s, order.ranks)
        begun += len(scheduler.at.starts) + 1  # where nothing could begin, it ends all the same
        if found.starts_s and (not best.starts_s or no_later(problem, found, best)):
            best, weights = found, tried
        yield best
