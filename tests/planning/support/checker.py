"""Replays a plan against its problem."""

from collections.abc import Iterator

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Problem, Task


def faults(problem: Problem, plan: Plan) -> list[str]:
    """Return everything that is wrong with a plan, as sentences; none when it may be carried out.

    A stretch of work holds its start and not its end, and work of no length uses nothing. A plan without starts is
    right when it claims nothing but its clash.
    """
    if plan.status in ("infeasible", "unknown"):
        return list(_claims_nothing(problem, plan))
    if set(plan.starts_s) != set(problem.task_of):
        return [f"starts are given for {sorted(plan.starts_s)} and asked for {sorted(problem.task_of)}"]
    replay = _Replay(problem, plan)
    return [
        *replay.windows(),
        *replay.hands(),
        *(fault for lag in problem.lags for fault in replay.wait(lag)),
        *(fault for resource in problem.capacities for fault in replay.shared(resource)),
        *(fault for resource in problem.closed for fault in replay.shut(resource)),
        *(fault for interval in problem.forbidden for fault in replay.forbidden(interval)),
        *replay.ending(),
    ]


def _claims_nothing(problem: Problem, plan: Plan) -> Iterator[str]:
    if plan.starts_s or plan.done_by or plan.makespan_s is not None:
        yield f"the plan is {plan.status}, and yet it says when things start or end"
    if plan.status == "unknown" and plan.clash:
        yield "the plan is unknown, and yet it names a clash"
    for part in plan.clash:
        if part not in problem.tasks and part not in problem.lags:
            yield f"the clash names {part}, which is not part of the problem"
        if isinstance(part, Task) and part.latest_s is None:
            yield f"the clash names {part.id}, which may start as late as it likes"


class _Replay:
    """A problem and starts for all of its tasks."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan

    def start(self, task: str) -> int:
        return self.plan.starts_s[task]

    def end(self, task: str) -> int:
        return self.plan.starts_s[task] + self.problem.task_of[task].duration_s

    def windows(self) -> Iterator[str]:
        for task in self.problem.tasks:
            if self.start(task.id) < task.earliest_s:
                yield f"{task.id} starts at {self.start(task.id)}, before {task.earliest_s}"
            if task.latest_s is not None and self.start(task.id) > task.latest_s:
                yield f"{task.id} starts at {self.start(task.id)}, after {task.latest_s}"

    def hands(self) -> Iterator[str]:
        for task in self.problem.tasks:
            who = self.plan.done_by.get(task.id)
            if task.one_of and who not in task.one_of:
                yield f"{task.id} is done by {who}, who is none of {task.one_of}"
            if not task.one_of and who is not None:
                yield f"{task.id} is done by {who}, and nobody was asked for"
        for task_id in self.plan.done_by.keys() - self.problem.task_of.keys():
            yield f"{task_id} is done by somebody, and is no task"

    def wait(self, lag: Lag) -> Iterator[str]:
        counts_from = self._counts_from(lag)
        if counts_from is None:
            return
        waited = self.start(lag.then) - counts_from
        if waited < lag.min_s:
            yield f"{lag.then} waits {waited} for {lag.first}, less than {lag.min_s}"
        if lag.max_s is not None and waited > lag.max_s:
            yield f"{lag.then} waits {waited} for {lag.first}, more than {lag.max_s}"

    def _counts_from(self, lag: Lag) -> int | None:
        if lag.first in self.problem.task_of:
            return self.start(lag.first) if lag.basis == "start-start" else self.end(lag.first)
        [last] = [m for m in self.problem.lasts if m.id == lag.first]
        moments = [self.end(task) for task in last.tasks]
        if last.not_before_s is not None:
            moments.append(last.not_before_s)
        return max(moments, default=None)

    def _users(self, resource: str) -> Iterator[tuple[Task, int]]:
        for task in self.problem.tasks:
            amount = task.uses.get(resource, 0) + (self.plan.done_by.get(task.id) == resource)
            if amount and task.duration_s:
                yield task, amount

    def shared(self, resource: str) -> Iterator[str]:
        """Sweep over starts and ends; what ends at a moment is given back before anything begins."""
        changes: list[tuple[int, int, str]] = []
        for task, amount in self._users(resource):
            changes += [(self.start(task.id), amount, task.id), (self.end(task.id), -amount, task.id)]
        used = 0
        for moment, change, task_id in sorted(changes, key=lambda c: (c[0], c[1] > 0)):
            used += change
            if change > 0 and used > self.problem.capacities[resource]:
                yield f"{task_id} makes {used} {resource} at {moment}, of {self.problem.capacities[resource]}"

    def shut(self, resource: str) -> Iterator[str]:
        for begins, ends in self.problem.closed[resource]:
            for task, _ in self._users(resource):
                if self._runs_within(task.id, begins, ends):
                    yield f"{task.id} needs {resource} between {begins} and {ends}, when it is not there"

    def forbidden(self, interval: ForbiddenInterval) -> Iterator[str]:
        begins = 0 if interval.first is None else self.start(interval.first)
        ends = (0 if interval.last is None else self.end(interval.last)) + interval.longer_s
        for task_id in sorted(interval.against):
            if self._runs_within(task_id, begins, ends):
                yield f"{task_id} runs while {interval.id} forbids it, from {begins} to {ends}"

    def _runs_within(self, task: str, begins: int, ends: int) -> bool:
        return max(self.start(task), begins) < min(self.end(task), ends)

    def ending(self) -> Iterator[str]:
        ends = max((self.end(task.id) for task in self.problem.tasks), default=0)
        bound = self.plan.bound_s
        if self.plan.makespan_s != ends:
            yield f"the plan says that it ends at {self.plan.makespan_s}; its last task ends at {ends}"
        if bound is not None and bound > ends:
            yield f"nothing is said to end before {bound}, and this ends at {ends}"
        if self.plan.status == "optimal" and bound != ends:
            yield f"called optimal, but the bound is {bound} and the end {ends}"
        if self.plan.clash:
            yield "there is a plan, and yet it names a clash"
