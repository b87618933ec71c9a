"""Which planned steps may be begun and ended by one touch without breaking a wait. Knows no solver."""

from collections import defaultdict
from collections.abc import Mapping

from bayapp.planning.from_job import Work
from bayapp.planning.plan import Plan
from bayapp.planning.table import Table

LONGEST_PAUSE_S = 60


def touches(work: Work, plan: Plan, person_of: Mapping[str, object]) -> dict[str, int]:
    """Number each task's touch: the same step on zones of one work block, done in a row by one person, shares one.

    A touch counts as begun with its first zone and as ended with its last on every zone: only as many zones are
    joined as that breaks no wait of the plan.
    """
    table = Table(work.problem, plan)
    lines: dict[object, list[str]] = defaultdict(list)
    for task in sorted(plan.starts_s, key=lambda t: (plan.starts_s[t], t)):
        lines[person_of.get(task)].append(task)
    found: dict[str, int] = {}
    number = 0
    for line in lines.values():
        group: list[str] = []
        for task in line:
            joins = bool(group) and _alike(work, table, group[-1], task) and _Joined(table, [*group, task]).holds()
            group = [*group, task] if joins else [task]
            number += not joins
            found[task] = number
    return found


def _alike(work: Work, table: Table, before: str, task: str) -> bool:
    a, b = work.rung_of[before], work.rung_of[task]
    if a.run is not None or b.run is not None:
        return a.run is not None and b.run is not None and a.run.started_at == b.run.started_at and a.step is b.step
    beside = a.job == b.job and a.zone in b.block and a.step.id == b.step.id
    return beside and table.starts[task] - table.end(before) <= LONGEST_PAUSE_S


class _Joined:
    """Tasks as they would stand when all begin with the first and end with the last."""

    def __init__(self, table: Table, group: list[str]) -> None:
        self._table, self._group = table, set(group)
        self._begins, self._ends = table.starts[group[0]], table.end(group[-1])

    def holds(self) -> bool:
        """Whether every rule of the plan still holds."""
        return all(
            self._begins >= self._table.problem.task_of[task].earliest_s
            and all(self._keeps(lag.first, lag.then, lag.basis, lag.min_s, lag.max_s) for lag in self._table.lags[task])
            and self._peaceful(task)
            and self._tools_are_here(task)
            for task in self._group
        )

    def _keeps(self, first: str, then: str, basis: str, least: int, most: int | None) -> bool:
        last = self._table.last_of.get(first)
        counted = last.tasks if last else (first,)
        begins = self._begins if then in self._group else self._table.starts[then]
        moments = [
            (self._ends if last or basis == "end-start" else self._begins)
            if task in self._group
            else (self._table.end(task) if last or basis == "end-start" else self._table.starts[task])
            for task in counted
        ]
        if last and last.not_before_s is not None:
            moments.append(last.not_before_s)
        waited = begins - max(moments, default=0)
        return waited >= least and (most is None or waited <= most)

    def _peaceful(self, task: str) -> bool:
        for guard in self._table.guards[task]:
            begins = self._begins if guard.first in self._group else self._table.guard_begins(guard)
            ends = self._table.guard_ends(guard)
            if guard.last in self._group:
                ends = self._ends + guard.longer_s
            for other in guard.against:
                start = self._begins if other in self._group else self._table.starts[other]
                over = self._ends if other in self._group else self._table.end(other)
                if start < ends and begins < over:
                    return False
        return True

    def _tools_are_here(self, task: str) -> bool:
        tools = [r for r in self._table.problem.task_of[task].uses if self._table.problem.capacities[r] == 1]
        users = {t for tool in tools for t in self._table.users[tool]} - self._group
        return not any(self._table.starts[t] < self._ends and self._begins < self._table.end(t) for t in users)
