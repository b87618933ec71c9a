"""How late a plan is for what was promised: first of all a plan is to be as little late as can be, then to end soon."""

from collections.abc import Mapping, Set
from dataclasses import replace

from bayapp.planning.core.bounds import earliest_starts
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem, Promise, Task


def lateness_s(problem: Problem, plan: Plan) -> int:
    """Return by how many seconds a plan with starts is late for all that was promised, added up (total tardiness)."""
    return sum(_late(problem, promise, plan.starts_s) for promise in problem.promises)


def late_for(problem: Problem, plan: Plan) -> frozenset[str]:
    """Return the promises, by their ids, that a plan with starts is late for."""
    return frozenset(promise.id for promise in problem.promises if _late(problem, promise, plan.starts_s))


def no_later(problem: Problem, plan: Plan, than: Plan) -> bool:
    """Whether a plan is for no promise later than another; both have starts."""
    return all(
        _late(problem, promise, plan.starts_s) <= _late(problem, promise, than.starts_s) for promise in problem.promises
    )


def least_lateness_s(problem: Problem) -> int:
    """Return a lateness that no plan can be below: each promise by itself, by the soonest starts of its tasks."""
    if not problem.promises:
        return 0
    soonest = earliest_starts(problem)
    return sum(_late(problem, promise, soonest) for promise in problem.promises)


def merit(problem: Problem, plan: Plan) -> tuple[int, int]:
    """Return what a plan with starts is judged by, the less the better: its lateness, then its end."""
    return lateness_s(problem, plan), plan.makespan_s or 0


def with_deadlines(problem: Problem, plan: Plan) -> Problem:
    """Return the problem of all plans that are no later for any promise than this one with starts."""
    latest: dict[str, int] = {}
    for promise in problem.promises:
        by = promise.by_s + _late(problem, promise, plan.starts_s)
        for task, after in promise.ready_after_s.items():
            latest[task] = by - after - problem.task_of[task].duration_s
    return replace(problem, tasks=tuple(_begun_by(task, latest) for task in problem.tasks)) if latest else problem


def late_work(problem: Problem, plan: Plan) -> frozenset[str]:
    """Return the tasks of the promises that a plan with starts is late for, and what must be done at once anyway."""
    late = late_for(problem, plan)
    at_once = (task.id for task in problem.tasks if task.latest_s is not None and task.latest_s <= task.earliest_s)
    return frozenset(at_once).union(*(promise.tasks for promise in problem.promises if promise.id in late))


def only(problem: Problem, tasks: Set[str]) -> Problem:
    """Return the problem of these tasks alone, as if there were no others."""
    lasts = [replace(last, tasks=tuple(t for t in last.tasks if t in tasks)) for last in problem.lasts]
    lasts = [last for last in lasts if last.tasks or last.not_before_s is not None]
    moments = tasks | {last.id for last in lasts}
    begun = [one for one in problem.forbidden if {one.first, one.last} <= tasks | {None}]
    return replace(
        problem,
        tasks=tuple(task for task in problem.tasks if task.id in tasks),
        lags=tuple(lag for lag in problem.lags if lag.first in moments and lag.then in tasks),
        lasts=tuple(lasts),
        forbidden=tuple(replace(one, against=one.against & tasks) for one in begun),
        promises=tuple(promise for promise in problem.promises if promise.tasks <= tasks),
    )


def with_first(problem: Problem, plan: Plan) -> Problem:
    """Return the problem in which the tasks of a plan begin as it says, and all others once those have ended."""
    begins = plan.makespan_s or 0
    fixed = {
        task.id: replace(task, earliest_s=start, latest_s=start)
        for task in problem.tasks
        if (start := plan.starts_s.get(task.id)) is not None
    }
    rest = {t.id: replace(t, earliest_s=max(t.earliest_s, begins)) for t in problem.tasks if t.id not in fixed}
    return replace(problem, tasks=tuple((fixed | rest)[task.id] for task in problem.tasks))


def _late(problem: Problem, promise: Promise, starts: Mapping[str, int]) -> int:
    ready = (starts[task] + problem.task_of[task].duration_s + after for task, after in promise.ready_after_s.items())
    return max(0, max(ready, default=0) - promise.by_s)


def _begun_by(task: Task, latest: Mapping[str, int]) -> Task:
    if task.id not in latest:
        return task
    by = latest[task.id]
    return replace(task, latest_s=by if task.latest_s is None else min(by, task.latest_s))
