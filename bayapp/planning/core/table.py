"""A plan in which single tasks can be moved, each move checked."""

from collections import defaultdict
from collections.abc import Iterable

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem

WANTED_S = 600


class Table:
    """Starts that can change one at a time; each move is checked against everything the task is tied to.

    Attributes:
        starts: where each task begins now.
        lags, forbidden intervals: what each task is tied to.
        users: who uses each resource.
        last_of: the moments by their names.
    """

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.starts = dict(plan.starts_s)
        self.lags: dict[str, list[Lag]] = defaultdict(list)
        self.forbidden: dict[str, list[ForbiddenInterval]] = defaultdict(list)
        self.users: dict[str, list[str]] = defaultdict(list)
        self.last_of: dict[str, LastOf] = {last.id: last for last in problem.lasts}
        for lag in problem.lags:
            counted = self.last_of[lag.first].tasks if lag.first in self.last_of else (lag.first,)
            for task in {*counted, lag.then}:
                self.lags[task].append(lag)
        for interval in problem.forbidden:
            for name in {*interval.against, *(t for t in (interval.first, interval.last) if t is not None)}:
                self.forbidden[name].append(interval)
        for name in problem.task_of:
            for resource in self._takes(name):
                self.users[resource].append(name)

    def _takes(self, task: str) -> list[str]:
        found = [r for r, n in self.problem.task_of[task].uses.items() if n]
        return [*found, self.plan.done_by[task]] if task in self.plan.done_by else found

    def end(self, task: str) -> int:
        """Return when a task ends as it stands."""
        return self.starts[task] + self.problem.task_of[task].duration_s

    def moved(self, moves: dict[str, int]) -> bool:
        """Move these tasks together if every rule then holds; return whether they were moved."""
        before = {task: self.starts[task] for task in moves}
        self.starts.update(moves)
        if all(self._fits(task) for task in moves):
            return True
        self.starts.update(before)
        return False

    def _fits(self, task: str) -> bool:
        own = self.problem.task_of[task]
        start = self.starts[task]
        if start < own.earliest_s or (own.latest_s is not None and start > own.latest_s):
            return False
        return (
            all(self._kept(lag) for lag in self.lags[task])
            and all(self._free(r, task) for r in self._takes(task))
            and all(self._keeps_apart(g, task) for g in self.forbidden[task])
        )

    def anchor(self, lag: Lag) -> int:
        """Return the moment that a wait counts from."""
        last = self.last_of.get(lag.first)
        if last is not None:
            ends = [self.end(t) for t in last.tasks]
            return max(ends if last.not_before_s is None and ends else [*ends, last.not_before_s or 0])
        return self.end(lag.first) if lag.basis == "end-start" else self.starts[lag.first]

    def _kept(self, lag: Lag) -> bool:
        waited = self.starts[lag.then] - self.anchor(lag)
        return waited >= lag.min_s and (lag.max_s is None or waited <= lag.max_s)

    def _free(self, resource: str, task: str) -> bool:
        begins, ends = self.starts[task], self.end(task)
        if any(a < ends and begins < b for a, b in self.problem.closed.get(resource, ())):
            return False
        beside = [t for t in self.users[resource] if self.starts[t] < ends and begins < self.end(t)]
        capacity = self.problem.capacities[resource]
        if len(beside) <= 1 or sum(self._amount(t, resource) for t in beside) <= capacity:
            return True
        moments = {max(begins, self.starts[t]) for t in beside}
        return all(
            sum(self._amount(t, resource) for t in beside if self.starts[t] <= m < self.end(t)) <= capacity
            for m in moments
        )

    def _amount(self, task: str, resource: str) -> int:
        return self.problem.task_of[task].uses.get(resource, 0) + (self.plan.done_by.get(task) == resource)

    def interval_begins(self, interval: ForbiddenInterval) -> int:
        """Return from when a forbidden interval holds."""
        return 0 if interval.first is None else self.starts[interval.first]

    def interval_ends(self, interval: ForbiddenInterval) -> int:
        """Return until when a forbidden interval holds."""
        return interval.longer_s + (0 if interval.last is None else self.end(interval.last))

    def _keeps_apart(self, interval: ForbiddenInterval, task: str) -> bool:
        begins, ends = self.interval_begins(interval), self.interval_ends(interval)
        watched = [task] if task in interval.against else interval.against
        return not any(self.starts[t] < ends and begins < self.end(t) for t in watched)

    def shortfall(self, tasks: Iterable[str] | None = None) -> int:
        """Return by how many seconds in total starts are nearer to their latest moments than wished.

        The wish is half of the window, but at most ten minutes.
        """
        lags = self.problem.lags if tasks is None else {id(g): g for t in tasks for g in self.lags[t]}.values()
        found = 0
        for lag in lags:
            if lag.max_s is not None:
                wish = min((lag.max_s - lag.min_s) // 2, WANTED_S)
                found += max(0, wish - (self.anchor(lag) + lag.max_s - self.starts[lag.then]))
        known = self.problem.task_of
        for task in known if tasks is None else tasks:
            latest = known[task].latest_s
            if latest is not None:
                found += max(0, min((latest - known[task].earliest_s) // 2, WANTED_S) - (latest - self.starts[task]))
        return found

    def read(self) -> Plan:
        """Return the plan as it stands now."""
        makespan = max((self.end(t) for t in self.starts), default=0)
        return Plan(self.plan.status, makespan, self.plan.bound_s, dict(self.starts), self.plan.done_by)
