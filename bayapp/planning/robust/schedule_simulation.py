"""Simulates a day on which people keep a plan's order: who waits for whom."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, Problem, Task

Times = NDArray[np.float64]
"""Seconds from the plan's beginning: a row for each task in the problem's order, a column for each run."""


class ScheduleSimulation:
    """A problem and the order in which a plan goes through it, ready to be run with other durations.

    The plan is taken to obey the problem. Where the problem counts people and does not name them, whoever is free
    first takes what the plan begins next, whatever name it is given.

    Attributes:
        row: each task's row in the times.
        order: the tasks as the plan begins them.
    """

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.row = {task.id: row for row, task in enumerate(problem.tasks)}
        self._members = {last.id: last for last in problem.lasts}
        self._planned = plan.starts_s
        self.order = self._in_planned_order()
        self._place = {task.id: place for place, task in enumerate(self.order)}
        self._waits: dict[str, list[Lag]] = defaultdict(list)
        for lag in problem.lags:
            if self.can_hold_back(lag):
                self._waits[lag.then].append(lag)
        self._after_interval: dict[str, dict[str | None, int]] = defaultdict(dict)
        self._before_interval: dict[str, set[str]] = defaultdict(set)
        for interval in problem.forbidden:
            self._take_sides(interval)
        self._takes = {task.id: _takes(task, plan.done_by) for task in problem.tasks}
        self._breaks = {task.id: self._breaks_of(task) for task in problem.tasks}
        self._held = self._held_back()

    def run(self, durations: Times) -> tuple[Times, Times]:
        """Return the starts and ends that follow from these durations."""
        starts, _ = self._walk(durations, self._held)
        return starts, starts + durations

    def can_hold_back(self, lag: Lag) -> bool:
        """Whether what the wait counts from has come before ``then`` is to begin; if not, it can only be missed."""
        return all(self._place[t] < self._place[lag.then] for t in self._counted(lag))

    def counts_from(self, lag: Lag, starts: Times, ends: Times) -> Times | None:
        """Return the moments that a wait counts from; None where there never is one."""
        if lag.first in self.row:
            row: Times = (starts if lag.basis == "start-start" else ends)[self.row[lag.first]]
            return row
        last = self._members[lag.first]
        moment = np.full(starts.shape[1], -np.inf if last.not_before_s is None else float(last.not_before_s))
        for task in last.tasks:
            np.maximum(moment, ends[self.row[task]], out=moment)
        return moment if last.tasks or last.not_before_s is not None else None

    def _walk(self, durations: Times, not_before: Mapping[str, float]) -> tuple[Times, Times]:
        """Return the starts, and the moments from which on each task could have begun."""
        runs = durations.shape[1]
        starts, ends, could = np.zeros_like(durations), np.zeros_like(durations), np.zeros_like(durations)
        free = {name: np.zeros((capacity, runs)) for name, capacity in self.problem.capacities.items()}
        for task in self.order:
            row = self.row[task.id]
            ready = np.full(runs, float(task.earliest_s))
            for moment in self._moments(task, starts, ends):
                np.maximum(ready, moment, out=ready)
            for name, amount in self._takes[task.id].items():
                np.maximum(ready, free[name][amount - 1], out=ready)
            could[row] = self._past_breaks(task, ready)
            starts[row] = self._past_breaks(task, np.maximum(ready, not_before.get(task.id, 0.0)))
            ends[row] = starts[row] + durations[row]
            for name, amount in self._takes[task.id].items():
                free[name][:amount] = ends[row]
                free[name].sort(axis=0)  # whoever is free first stands first
        return starts, could

    def _moments(self, task: Task, starts: Times, ends: Times) -> Iterator[Times | float]:
        """Yield everything that a task waits for, people and tools aside."""
        for lag in self._waits[task.id]:
            after = self.counts_from(lag, starts, ends)
            if after is not None:
                yield after + lag.min_s
        for last, longer in self._after_interval[task.id].items():
            yield longer + (0.0 if last is None else ends[self.row[last]])
        for other in self._before_interval[task.id]:
            yield ends[self.row[other]]

    def _past_breaks(self, task: Task, ready: Times) -> Times:
        """Put off tasks that are not expected to fit before the next break."""
        start = ready
        for begins, over in self._breaks[task.id]:
            inside = (start < over) & (start + task.duration_s > begins)
            start = np.where(inside, float(over), start)
        return start

    def _held_back(self) -> dict[str, float]:
        """Return the planned start of each task that could begin earlier in the plan, and does not."""
        expected = np.array([[float(t.duration_s)] for t in self.problem.tasks]).reshape(-1, 1)
        planned = {task: float(start) for task, start in self._planned.items()}
        _, could = self._walk(expected, planned)
        return {task: planned[task] for task, row in self.row.items() if planned[task] > could[row, 0]}

    def _in_planned_order(self) -> tuple[Task, ...]:
        """Return the tasks by planned start; of those that start together, what another waits for comes first."""
        together: dict[str, list[str]] = defaultdict(list)
        for first, then in self._pairs():
            if self._planned[first] == self._planned[then]:
                together[then].append(first)
        ordered: dict[str, Task] = {}
        entered: set[str] = set()

        def enter(task: Task) -> None:
            if task.id in entered:
                return  # also where two tasks each wait for the other, to start in the same moment
            entered.add(task.id)
            for first in together[task.id]:
                enter(self.problem.task_of[first])
            ordered[task.id] = task

        for task in sorted(self.problem.tasks, key=lambda t: self._planned[t.id]):
            enter(task)
        return tuple(ordered.values())

    def _pairs(self) -> Iterator[tuple[str, str]]:
        """Yield each task whose start or end another may have to wait for at the same moment, and that other."""
        for lag in self.problem.lags:
            for first in self._counted(lag):
                length = 0 if lag.first in self.row and lag.basis == "start-start" else self._length(first)
                if length + lag.min_s == 0:
                    yield first, lag.then
        for interval in self.problem.forbidden:
            if interval.last is not None and self._length(interval.last) + interval.longer_s == 0:
                yield from ((interval.last, other) for other in interval.against if other != interval.last)

    def _counted(self, lag: Lag) -> tuple[str, ...]:
        return (lag.first,) if lag.first in self.row else self._members[lag.first].tasks

    def _length(self, task: str) -> int:
        return self.problem.task_of[task].duration_s

    def _take_sides(self, interval: ForbiddenInterval) -> None:
        """Find out which tasks the plan puts after a forbidden interval, and which before it."""
        begins = 0 if interval.first is None else self._planned[interval.first]
        over = interval.longer_s + (
            0 if interval.last is None else self._planned[interval.last] + self._length(interval.last)
        )
        for task in interval.against:
            if not self._length(task):
                continue
            if self._planned[task] >= over and (
                interval.last is None or self._place[interval.last] < self._place[task]
            ):
                behind = self._after_interval[task]
                behind[interval.last] = max(behind.get(interval.last, interval.longer_s), interval.longer_s)
            elif interval.first is not None and self._planned[task] + self._length(task) <= begins:
                self._before_interval[interval.first].add(task)

    def _breaks_of(self, task: Task) -> list[tuple[int, int]]:
        """Return the periods in which something that the task needs is not there, in order."""
        return sorted({stretch for name in self._takes[task.id] for stretch in self.problem.closed.get(name, ())})


def _takes(task: Task, done_by: Mapping[str, str]) -> dict[str, int]:
    """Return how much of each resource a task needs, including whoever does it; work of no length needs nothing."""
    if not task.duration_s:
        return {}
    takes = {name: amount for name, amount in task.uses.items() if amount}
    if task.one_of and task.id in done_by:
        takes[done_by[task.id]] = takes.get(done_by[task.id], 0) + 1
    return takes
