"""Which planned steps may be begun and ended by one touch without breaking a wait."""

from collections import defaultdict
from collections.abc import Mapping

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag
from bayapp.planning.core.table import Table
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.scatter import SLOW

LONGEST_PAUSE_S = 60
LONGEST_TOUCH_S = 20 * 60


def touches(work: Work, plan: Plan, person_of: Mapping[str, object]) -> dict[str, int]:
    """Number the touches: the same step on zones of one work block, done in a row by one person, shares a touch.

    For every zone, a shared touch begins with its first zone and ends with its last. So only as many zones are joined
    as keep every wait of the plan, whatever else has been joined, and as fit into twenty minutes: longer work is
    better recorded zone by zone. Steps that the plan must begin together are joined however long they take.
    """
    table = Table(work.problem, plan)
    spans = _Spans(table)
    lines: dict[object, list[str]] = defaultdict(list)
    for task in sorted(plan.starts_s, key=lambda t: (plan.starts_s[t], t)):
        lines[person_of.get(task)].append(task)
    found: dict[str, int] = {}
    number = 0
    for line in lines.values():
        group: list[str] = []
        for task in line:
            joins = bool(group) and _join(work, table, group, task) and spans.joined([*group, task])
            group = [*group, task] if joins else [task]
            number += not joins
            found[task] = number
    return found


def _join(work: Work, table: Table, group: list[str], task: str) -> bool:
    """Whether a task is the same step as a group's, on a zone next to theirs, and follows at once."""
    a, b = work.rung_of[group[-1]], work.rung_of[task]
    if a.job != b.job or a.step.id != b.step.id or any(work.rung_of[t].zone == b.zone for t in group):
        return False
    if a.run is not None or b.run is not None:
        return a.run is not None and b.run is not None and a.run.started_at == b.run.started_at and a.run.by == b.run.by
    if a.zone not in b.block or table.starts[task] - table.end(group[-1]) > LONGEST_PAUSE_S:
        return False
    together = table.starts[task] == table.starts[group[0]]
    return together or table.end(task) - table.starts[group[0]] <= LONGEST_TOUCH_S


class _Spans:
    """When each task begins and ends, given the touches that have been joined so far."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._begins = dict(table.starts)
        self._ends = {task: table.end(task) for task in table.starts}

    def joined(self, group: list[str]) -> bool:
        """Let these all begin with the first and end with the last if every rule then holds; return whether it does."""
        before = [(task, self._begins[task], self._ends[task]) for task in group]
        begins, ends = min(b for _, b, _ in before), max(e for _, _, e in before)
        self._begins |= dict.fromkeys(group, begins)
        self._ends |= dict.fromkeys(group, ends)
        if all(self._fits(task) for task in group) and self._tools_are_here(group):
            return True
        for task, begin, end in before:
            self._begins[task], self._ends[task] = begin, end
        return False

    def _fits(self, task: str) -> bool:
        table = self._table
        return (
            self._begins[task] >= table.problem.task_of[task].earliest_s
            and all(self._keeps(lag) for lag in table.lags[task])
            and all(self._keeps_apart(interval) for interval in table.forbidden[task])
        )

    def _keeps(self, lag: Lag) -> bool:
        last = self._table.last_of.get(lag.first)
        if last is not None:
            return self._keeps_last(lag, last.tasks, last.not_before_s)
        anchor = self._ends[lag.first] if lag.basis == "end-start" else self._begins[lag.first]
        waited = self._begins[lag.then] - anchor
        return waited >= lag.min_s and (lag.max_s is None or waited <= lag.max_s) and not self._drags(lag)

    def _drags(self, lag: Lag) -> bool:
        """Whether a touch on several zones, done slowly, would end too late for a wait that counts from its start."""
        length = self._ends[lag.first] - self._begins[lag.first]
        if lag.basis == "end-start" or lag.max_s is None or length == self._table.problem.task_of[lag.first].duration_s:
            return False
        after = [g.min_s for g in self._table.lags[lag.first] if (g.first, g.then) == (lag.first, lag.then)]
        return length * SLOW + max(after) > lag.max_s

    def _keeps_last(self, lag: Lag, tasks: tuple[str, ...], floor: int | None) -> bool:
        """Whether a wait for the last of several holds; its latest moment may count from that one's first stroke."""
        ends = max([self._ends[task] for task in tasks], default=floor or 0)
        anchor = ends if floor is None else max(ends, floor)
        waited = self._begins[lag.then] - anchor
        if lag.max_s is None:
            return waited >= lag.min_s
        longer = max((self._longer(task) for task in tasks if self._ends[task] == ends), default=0)
        return lag.min_s <= waited <= lag.max_s - longer

    def _longer(self, task: str) -> int:
        return self._ends[task] - self._begins[task] - self._table.problem.task_of[task].duration_s

    def _keeps_apart(self, interval: ForbiddenInterval) -> bool:
        begins = 0 if interval.first is None else self._begins[interval.first]
        ends = interval.longer_s + (0 if interval.last is None else self._ends[interval.last])
        return not any(self._begins[t] < ends and begins < self._ends[t] for t in interval.against)

    def _tools_are_here(self, group: list[str]) -> bool:
        problem, users = self._table.problem, self._table.users
        tools = {r for task in group for r, n in problem.task_of[task].uses.items() if n and problem.capacities[r] == 1}
        others = {task for tool in tools for task in users[tool]}.difference(group)
        begins, ends = self._begins[group[0]], self._ends[group[0]]
        return not any(self._begins[t] < ends and begins < self._ends[t] for t in others)
