"""Checks that a plan obeys its problem; done to every answer before anybody sees it."""

import logging
from collections.abc import Iterator
from itertools import chain

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Problem, Task

LOG = logging.getLogger("bayapp")


def checked(problem: Problem, plan: Plan) -> Plan:
    """Return the plan if it obeys its problem or has no starts; else one of status "unknown", and log what is wrong."""
    if not plan.starts_s or not (wrong := faults(problem, plan)):
        return plan
    LOG.error("a plan that breaks its own problem is not shown: %s", "; ".join(wrong[:3]))
    return Plan("unknown")


def faults(problem: Problem, plan: Plan) -> list[str]:
    """Return what is wrong with a plan's starts, one sentence each; empty if it obeys every rule."""
    missing = [t.id for t in problem.tasks if t.id not in plan.starts_s]
    if missing:
        return [f"{name} has no start" for name in missing]
    return list(
        chain(_limits(problem, plan), _waits(problem, plan), _resources(problem, plan), _forbidden(problem, plan))
    )


def _end(problem: Problem, plan: Plan, task: str) -> int:
    return plan.starts_s[task] + problem.task_of[task].duration_s


def _limits(problem: Problem, plan: Plan) -> Iterator[str]:
    for task in problem.tasks:
        start = plan.starts_s[task.id]
        if start < task.earliest_s or (task.latest_s is not None and start > task.latest_s):
            yield f"{task.id} starts at {start}, outside {task.earliest_s} to {task.latest_s}"
    last = max((_end(problem, plan, t.id) for t in problem.tasks), default=0)
    if plan.makespan_s != last:
        yield f"the last task ends at {last}, not at {plan.makespan_s}"


def _waits(problem: Problem, plan: Plan) -> Iterator[str]:
    moments = {}
    for last in problem.lasts:
        ends = [_end(problem, plan, t) for t in last.tasks]
        floor = [last.not_before_s or 0] if last.not_before_s is not None or not ends else []
        moments[last.id] = max(ends + floor)
    for lag in problem.lags:
        if lag.first in moments:
            anchor = moments[lag.first]
        else:
            anchor = _end(problem, plan, lag.first) if lag.basis == "end-start" else plan.starts_s[lag.first]
        waited = plan.starts_s[lag.then] - anchor
        if waited < lag.min_s or (lag.max_s is not None and waited > lag.max_s):
            yield f"{lag.then} starts {waited} s after {lag.first}, outside {lag.min_s} to {lag.max_s}"


def _resources(problem: Problem, plan: Plan) -> Iterator[str]:
    for resource, capacity in problem.capacities.items():
        changes: list[tuple[int, int]] = []
        for task in problem.tasks:
            amount = task.uses.get(resource, 0) + (plan.done_by.get(task.id) == resource if task.one_of else 0)
            begins, ends = plan.starts_s[task.id], _end(problem, plan, task.id)
            if amount and begins < ends:
                changes += [(begins, amount), (ends, -amount)]
                if any(a < ends and begins < b for a, b in problem.closed.get(resource, ())):
                    yield f"{task.id} runs while {resource} is away"
        used = 0
        for at, amount in sorted(changes):
            used += amount
            if used > capacity:
                yield f"{resource} is used {used} times at {at}, and there are {capacity}"
    for task in problem.tasks:
        if task.one_of and plan.done_by.get(task.id) not in task.one_of:
            yield f"{task.id} is done by {plan.done_by.get(task.id)}, not by one of {', '.join(task.one_of)}"


def _forbidden(problem: Problem, plan: Plan) -> Iterator[str]:
    for interval in problem.forbidden:
        begins = 0 if interval.first is None else plan.starts_s[interval.first]
        ends = interval.longer_s + (0 if interval.last is None else _end(problem, plan, interval.last))
        for task in interval.against:
            if _overlaps(problem.task_of[task], plan, interval, begins, ends):
                yield f"{task} runs inside {interval.id}, {begins} to {ends}"


def _overlaps(task: Task, plan: Plan, interval: ForbiddenInterval, begins: int, ends: int) -> bool:
    start = plan.starts_s[task.id]
    if not task.duration_s:
        return False
    return task.id not in (interval.first, interval.last) and start < ends and begins < start + task.duration_s
