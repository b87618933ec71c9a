"""A partial schedule: what has started when, and what may start next."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task

FAR = 1 << 40


@dataclass(frozen=True)
class Ties:
    """A problem's waits, by the task that waits and by the task waited for; made once for many runs."""

    problem: Problem
    before: dict[str, list[Lag]]
    after: dict[str, list[Lag]]
    lasts_of: dict[str, list[LastOf]]
    forbidden_against: dict[str, list[ForbiddenInterval]]

    @classmethod
    def of(cls, problem: Problem) -> "Ties":
        """Sort a problem's waits."""
        before: dict[str, list[Lag]] = defaultdict(list)
        after: dict[str, list[Lag]] = defaultdict(list)
        for lag in (*problem.lags, *_turned_round(problem)):
            before[lag.then].append(lag)
            after[lag.first].append(lag)
        lasts_of: dict[str, list[LastOf]] = defaultdict(list)
        for last in problem.lasts:
            for task in last.tasks:
                lasts_of[task].append(last)
        against: dict[str, list[ForbiddenInterval]] = defaultdict(list)
        for interval in problem.forbidden:
            for task in interval.against:
                against[task].append(interval)
        return cls(problem, before, after, lasts_of, against)


def _turned_round(problem: Problem) -> Iterator[Lag]:
    """Yield each wait of less than 0 in its reverse form: a latest moment for its first task."""
    for lag in problem.lags:
        if lag.min_s < 0 and lag.first in problem.task_of:
            whole = lag.min_s + (problem.task_of[lag.first].duration_s if lag.basis == "end-start" else 0)
            yield Lag(lag.then, lag.first, min_s=-FAR, max_s=-whole, basis="start-start")


class PartialSchedule:
    """Which tasks have started when; grows forward in time.

    Attributes:
        now: seconds from the plan's beginning.
        starts, done_by: what has been decided so far.
        left: tasks not yet started, in the problem's order.
        running: end, id and task of what is under way.
    """

    def __init__(self, ties: Ties) -> None:
        self.ties = ties
        self.problem = ties.problem
        self.now = 0
        self.starts: dict[str, int] = {}
        self.done_by: dict[str, str] = {}
        self.left: dict[str, Task] = dict(ties.problem.task_of)
        self._moments: dict[str, int] = {}
        self.running: list[tuple[int, str, Task]] = []
        self._used: dict[str, int] = dict.fromkeys(ties.problem.capacities, 0)
        self._opens: dict[str, int | None] = {}
        self._lapses: dict[str, int] = {}
        for last in ties.problem.lasts:
            self._settle(last)
        for task in ties.problem.tasks:
            self._renew(task)

    def start(self, task: Task, by: str | None = None) -> None:
        """Begin a task now."""
        self.starts[task.id] = self.now
        del self.left[task.id]
        if by:
            self.done_by[task.id] = by
        if task.duration_s:
            self.running.append((self.now + task.duration_s, task.id, task))
            for resource, amount in self._takes(task, by):
                self._used[resource] += amount
        del self._opens[task.id]
        del self._lapses[task.id]
        self._renew_after(task.id)
        for last in self.ties.lasts_of.get(task.id, ()):
            if self._settle(last):
                self._renew_after(last.id)

    def _settle(self, last: LastOf) -> bool:
        if any(t not in self.starts for t in last.tasks):
            return False
        ends = [self.end(t) for t in last.tasks]
        floor = [] if last.not_before_s is None and ends else [last.not_before_s or 0]
        self._moments[last.id] = max([*ends, *floor])
        return True

    def _renew_after(self, moment: str) -> None:
        """Work out again when the tasks that wait for a moment may start; nothing else has changed."""
        for lag in self.ties.after.get(moment, ()):
            if lag.then in self.left:
                self._renew(self.left[lag.then])

    def _renew(self, task: Task) -> None:
        self._opens[task.id] = self._worked_out_opens(task)
        self._lapses[task.id] = self._worked_out_lapses(task)

    @staticmethod
    def _takes(task: Task, by: str | None) -> Iterator[tuple[str, int]]:
        yield from task.uses.items()
        if by:
            yield by, 1

    def advance(self, to: int) -> None:
        """Let time pass to ``to``; tasks that have ended by then release their resources."""
        self.now = to
        for running in [r for r in self.running if r[0] <= to]:
            self.running.remove(running)
            for resource, amount in self._takes(running[2], self.done_by.get(running[1])):
                self._used[resource] -= amount

    def end(self, task: str) -> int:
        """Return when a started task ends."""
        return self.starts[task] + self.problem.task_of[task].duration_s

    def anchor(self, lag: Lag) -> int | None:
        """Return the moment that a wait counts from; None while it is not known."""
        if lag.first in self._moments:
            return self._moments[lag.first]
        if lag.first not in self.starts:
            return None
        return self.end(lag.first) if lag.basis == "end-start" else self.starts[lag.first]

    def opens(self, task: Task) -> int | None:
        """Return from when the waits allow a remaining task to start; None while one of them has not begun."""
        return self._opens[task.id]

    def all_open(self) -> Mapping[str, int | None]:
        """Return ``opens`` for each remaining task; it changes as tasks start."""
        return self._opens

    def all_lapse(self) -> Mapping[str, int]:
        """Return ``lapses`` for each remaining task; it changes as tasks start."""
        return self._lapses

    def opens_at_least(self, task: Task) -> int:
        """Return from when the waits that have begun allow a task to start, whatever else it must wait for."""
        anchors = ((lag, self.anchor(lag)) for lag in self.ties.before.get(task.id, ()))
        return max([task.earliest_s, *(anchor + lag.min_s for lag, anchor in anchors if anchor is not None)])

    def lapses(self, task: Task) -> int:
        """Return by when a remaining task must start, as far as is known; FAR if it has no latest moment."""
        return self._lapses[task.id]

    def _worked_out_opens(self, task: Task) -> int | None:
        moment = task.earliest_s
        for lag in self.ties.before.get(task.id, ()):
            anchor = self.anchor(lag)
            if anchor is None:
                if lag.min_s < 0:
                    continue
                return None
            moment = max(moment, anchor + lag.min_s)
        return moment

    def _worked_out_lapses(self, task: Task) -> int:
        moment = FAR if task.latest_s is None else task.latest_s
        for lag in self.ties.before.get(task.id, ()):
            anchor = self.anchor(lag)
            if anchor is not None and lag.max_s is not None:
                moment = min(moment, anchor + lag.max_s)
        return moment

    def hands_for(self, task: Task) -> str | bool | None:
        """Return who could do a task from now to its end: a name, None if nobody is named, False for no one."""
        for resource, amount in task.uses.items():
            if self._used[resource] + amount > self.problem.capacities[resource]:
                return False
            if self._away(resource, self.now, task.duration_s):
                return False
        if not task.one_of:
            return None
        free = [
            name
            for name in task.one_of
            if self._used[name] < self.problem.capacities[name] and not self._away(name, self.now, task.duration_s)
        ]
        return free[0] if free else False

    def _away(self, resource: str, at: int, lasting: int) -> bool:
        stretches = self.problem.closed.get(resource) if lasting else None
        return stretches is not None and any(begins < at + lasting and at < ends for begins, ends in stretches)

    def forbidden_until(self, task: Task) -> int:
        """Return until when intervals keep a task out; FAR while that is unknown, ``now`` or less if none does."""
        return max((self.interval_ends(g) for g in self.ties.forbidden_against.get(task.id, ())), default=0)

    def interval_ends(self, interval: ForbiddenInterval) -> int:
        """Return when an interval that has begun ends; FAR while its last task has not started, 0 before it begins."""
        if interval.first is not None and interval.first not in self.starts:
            return 0
        if interval.last is None:
            return interval.longer_s
        return self.end(interval.last) + interval.longer_s if interval.last in self.starts else FAR

    def kept_out(self, forbidden: Iterable[ForbiddenInterval]) -> bool:
        """Whether a task that one of these intervals forbids runs now, so that the task that begins it must wait."""
        running = {name for _, name, _ in self.running}
        return any(not running.isdisjoint(interval.against) for interval in forbidden)

    def next_change(self, moments: Iterable[int]) -> int | None:
        """Return the next moment after now at which anything changes, or None."""
        known = [end for end, _, _ in self.running]
        known += [end for stretches in self.problem.closed.values() for _, end in stretches]
        known += [self.interval_ends(g) for g in self.problem.forbidden]
        return min((m for m in [*known, *moments] if self.now < m < FAR), default=None)
