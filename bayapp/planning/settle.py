"""A first order that holds, whatever has gone wrong: people stay longer, then zones are let go. Knows no solver."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bayapp.job.state import BayState
from bayapp.job.words import JobId, ZoneId
from bayapp.planning.dispatch import dispatch
from bayapp.planning.from_job import Minutes, Work, as_written, task_id, work_of
from bayapp.planning.plan import Plan
from bayapp.planning.problem import Task
from bayapp.planning.shop import Shop
from bayapp.planning.work_order import Loss, WorkOrder

OVERTIME = timedelta(hours=2)
MOST_LET_GO = 12
SECOND = timedelta(seconds=1)


@dataclass(frozen=True)
class Settled:
    """Work that can be done, a plan of it, and what had to be given up for it.

    Attributes:
        plan: status "unknown" where even that did not lead to a plan.
        whole: nothing was given up, nobody stays longer.
    """

    work: Work
    plan: Plan
    losses: tuple[Loss, ...] = ()
    overtime: bool = False
    let_go: Mapping[tuple[JobId, ZoneId], datetime] = field(default_factory=dict)

    @property
    def whole(self) -> bool:
        """Whether every window and every break is kept."""
        return not self.losses and not self.overtime


def settle(
    state: BayState, at: datetime, shop: Shop, minutes: Minutes = as_written, last: WorkOrder | None = None
) -> Settled:
    """Return a first plan of everything that is left to do.

    Where no order is found that keeps all, people stay up to two hours longer; where that does not help either, the
    zone whose moment is missed first is let go and planned anew from the rung that it falls back to.
    """
    work = work_of(state, at, shop, minutes)
    plan = first_plan(work, last)
    if plan.starts_s or not plan.clash:
        return Settled(work, plan)
    overtime = at + OVERTIME if shop.hours else None
    together = frozenset(work.rung_of[t.id].key for t in plan.clash if isinstance(t, Task))
    joined = work_of(state, at, shop, minutes, together=together)
    if (at_once := first_plan(joined, last)).starts_s:
        return Settled(joined, at_once)
    if overtime:
        longer = work_of(state, at, shop, minutes, overtime_until=overtime)
        if (late := first_plan(longer, last)).starts_s:
            return Settled(longer, late, overtime=True)
    return _letting_go(state, at, shop, minutes, last, overtime, plan)


def _letting_go(
    state: BayState,
    at: datetime,
    shop: Shop,
    minutes: Minutes,
    last: WorkOrder | None,
    overtime: datetime | None,
    plan: Plan,
) -> Settled:
    let_go: dict[tuple[JobId, ZoneId], datetime] = {}
    losses: list[Loss] = []
    work = work_of(state, at, shop, minutes, let_go, overtime)
    while not plan.starts_s and len(let_go) < MOST_LET_GO:
        missed = [(work.rung_of[t.id], work.problem.task_of[t.id].latest_s) for t in plan.clash if isinstance(t, Task)]
        running_out = [(rung, latest) for rung, latest in missed if latest is not None and rung.run is None]
        if not running_out:
            break
        for rung, latest in running_out:
            let_go[rung.job, rung.zone] = work.moment(latest) + SECOND
            losses.append(Loss(job=rung.job, zone=rung.zone, step=rung.key[2], lapses_at=work.moment(latest)))
        work = work_of(state, at, shop, minutes, let_go, overtime)
        plan = first_plan(work, last)
    return Settled(work, plan, tuple(losses), overtime is not None, let_go)


def first_plan(work: Work, last: WorkOrder | None) -> Plan:
    """Return a plan without any search: the last order carried on with, where that holds; else a new one."""
    if last is not None and last.steps:
        begun = {task_id((s.job, s.zone, s.step)): round((s.start - work.at) / SECOND) for s in last.steps}
        kept = dispatch(work.problem, prefer=begun)
        if kept.starts_s:
            return kept
    return dispatch(work.problem)
