"""How late a plan is for what was promised: first of all a plan is to be as little late as can be, then to end soon."""

from collections.abc import Mapping
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
    return replace(problem, tasks=tuple(_no_later(task, latest) for task in problem.tasks)) if latest else problem


def _late(problem: Problem, promise: Promise, starts: Mapping[str, int]) -> int:
    ready = (starts[task] + problem.task_of[task].duration_s + after for task, after in promise.ready_after_s.items())
    return max(0, max(ready, default=0) - promise.by_s)


def _no_later(task: Task, latest: Mapping[str, int]) -> Task:
    if task.id not in latest:
        return task
    by = latest[task.id]
    return replace(task, latest_s=by if task.latest_s is None else min(by, task.latest_s))
