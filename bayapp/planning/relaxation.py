"""A first order that holds, whatever has gone wrong: people stay longer, then zones are let go."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.model.ids import LapseTo, StepKind
from bayapp.planning.core.check import checked
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Task
from bayapp.planning.core.shrunken_windows import with_shrunken_windows
from bayapp.planning.core.work_order import Loss, WorkOrder
from bayapp.planning.from_bay.from_job import Concessions, Work, work_of
from bayapp.planning.from_bay.remaining_operations import Key, Rung
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.heuristic.promised_orders import less_late

OVERTIME = timedelta(hours=2)
ONE_AT_A_TIME = 12
MOST_ROUNDS = 40
SECOND = timedelta(seconds=1)
SPARES = (0.25, 0.1, 0.0)
"""Shares of every window that a first plan leaves unused; the first share that can be kept is taken."""


@dataclass(frozen=True)
class Relaxed:
    """Work that can be done, a plan of it, and what had to be given up for it.

    Attributes:
        plan: status "unknown" if even that did not lead to a plan.
        losses: windows that this plan does not keep.
        overtime: people stay longer.
        whole: nothing was given up, nobody stays longer.
    """

    work: Work
    plan: Plan
    losses: tuple[Loss, ...] = ()
    overtime: bool = False

    @property
    def whole(self) -> bool:
        """Whether every window and every break is kept."""
        return not self.losses and not self.overtime


def relaxed(
    situation: Situation,
    last: WorkOrder | None = None,
    *,
    spares: tuple[float, ...] = SPARES,
    keeps_all: bool = False,
) -> Relaxed:
    """Return a first plan of everything that is left to do.

    If no order is found that keeps everything, people stay up to two hours longer; if that does not help either, the
    step whose latest moment is missed first is given up, and its zone is planned again from the rung it falls back to.

    Args:
        spares: shares of every window to leave unused, tried one after the other.
        keeps_all: nothing is given up and nobody stays longer: where that would be needed, there is no plan.
    """
    work = work_of(situation)
    plan = first_plan(work, last, spares)
    if plan.starts_s or not (plan.clash or _open_wipes(work)):
        return Relaxed(work, plan)
    overtime = situation.at + OVERTIME if situation.shop.hours else None
    together = frozenset(work.rung_of[t.id].key for t in plan.clash if isinstance(t, Task))
    joined = work_of(situation, Concessions(together=together))
    if (at_once := first_plan(joined, last, spares)).starts_s:
        return Relaxed(joined, at_once)
    if keeps_all:
        return Relaxed(work, plan)
    if overtime:
        longer = work_of(situation, Concessions(overtime_until=overtime))
        if (late := first_plan(longer, last, spares)).starts_s:
            return Relaxed(longer, late, overtime=True)
    return _giving_up(situation, last, overtime, Relaxed(work, plan), spares)


def _giving_up(
    situation: Situation,
    last: WorkOrder | None,
    overtime: datetime | None,
    settled: Relaxed,
    spares: tuple[float, ...],
) -> Relaxed:
    given_up: dict[Key, datetime] = {}
    work, plan = settled.work, settled.plan
    for number in range(MOST_ROUNDS):
        lost = _lost(work, plan, one=number < ONE_AT_A_TIME)
        if not (plan.starts_s or lost):
            plan = checked(work.problem, list_schedule(work.problem, cautious=True))
            lost = _lost(work, plan, one=number < ONE_AT_A_TIME) or _open_wipes(work)
        if plan.starts_s or not lost:
            break
        for rung, latest in lost:
            for key in _above(work, rung, given_up):
                del given_up[key]
            given_up[rung.key] = work.moment(latest) + SECOND
        work = work_of(situation, Concessions(given_up, overtime))
        plan = first_plan(work, last, spares=(0.0,))
    if plan.starts_s and (spared := first_plan(work, last, spares)).starts_s:
        plan = spared
    losses = tuple(Loss(job=j, zone=z, step=s, lapses_at=over - SECOND) for (j, z, s, _), over in given_up.items())
    return Relaxed(work, plan, losses, overtime is not None)


def _lost(work: Work, plan: Plan, one: bool) -> list[tuple[Rung, int]]:
    """Return steps whose window a plan misses, running or begun by what is under way: hopeless ones, else one or all.

    Of each zone only the lowest step on its ladder: the waits above it may then count from what is done again.
    """
    late = {task.id for task in plan.clash if isinstance(task, Task) and work.rung_of[task.id].run is None}
    soon = _after_what_runs(work)
    known = [(t, t.latest_s if t.latest_s is not None else soon.get(t.id)) for t in work.problem.tasks if t.id in late]
    missed = [(task, latest) for task, latest in known if latest is not None]
    hopeless = [(t, latest) for t, latest in missed if latest < t.earliest_s]
    first = sorted(missed, key=lambda m: m[1])[:1] if one else missed
    lowest: dict[tuple[str, ...], tuple[Rung, int]] = {}
    for task, latest in hopeless or first:
        rung = work.rung_of[task.id]
        lowest.setdefault(rung.key[:2], (rung, latest))
    return list(lowest.values())


def _open_wipes(work: Work) -> list[tuple[Rung, int]]:
    """Return the coat that a wipe stands ready for, the soonest to be late: dust and water keep away from that wipe.

    Where nothing else can be given up, the zone is planned from the wipe again, which costs least of all.
    """
    coats = [
        (work.rung_of[task.id], task.latest_s)
        for task in work.problem.tasks
        if task.latest_s is not None and _costs_a_wipe(work.rung_of[task.id])
    ]
    return sorted(coats, key=lambda coat: coat[1])[:1]


def _costs_a_wipe(rung: Rung) -> bool:
    wait = rung.step.wait
    return rung.step.kind is StepKind.COAT and wait is not None and wait.lapse is LapseTo.WIPE


def _after_what_runs(work: Work) -> dict[str, int]:
    """Return the latest moments that count from the end of steps under way, as they are expected to end."""
    ends = {task.id: task.duration_s for task in work.problem.tasks if work.rung_of[task.id].run is not None}
    waits = [lag for lag in work.problem.lags if lag.first in ends and lag.basis == "end-start"]
    return {lag.then: ends[lag.first] + lag.max_s for lag in waits if lag.max_s is not None}


def _above(work: Work, rung: Rung, given_up: Mapping[Key, datetime]) -> list[Key]:
    """Return the steps of a zone above this rung that were given up: from now on they may be kept."""
    below: set[Key] = set()
    for other in work.rung_of.values():
        if other.key[:2] == rung.key[:2]:
            below.update(other.lost)
            if other is rung:
                break
    return [key for key in given_up if key[:2] == rung.key[:2] and key not in below]


def first_plan(work: Work, last: WorkOrder | None, spares: tuple[float, ...] = SPARES) -> Plan:
    """Return a plan without a search: the last order continued, if that still holds; else a new one.

    Each is tried with time to spare in every window first: a plan without any spare time soon runs into a dead end.
    Where it is late for a promise, orders are tried in which what was promised goes first.

    Args:
        spares: shares of every window to leave unused, tried one after the other.
    """
    prefer = _begun(work, last) if last is not None and last.steps else None
    plan = Plan("unknown")
    for order in (prefer, None) if prefer else (None,):
        for spare in spares:
            narrower = with_shrunken_windows(work.problem, spare) if spare else work.problem
            plan = checked(work.problem, list_schedule(narrower, order))
            if plan.starts_s:
                better, _ = less_late(narrower, plan)
                return better if better is plan or checked(work.problem, better).starts_s else plan
    return plan


def _begun(work: Work, last: WorkOrder) -> dict[str, int]:
    """Return when the last order began each task, in seconds from now; of a step done twice, the first run is first."""
    tasks: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for name, rung in work.rung_of.items():
        tasks[rung.key[:3]].append(name)
    found: dict[str, int] = {}
    for step in sorted(last.steps, key=lambda s: s.start):
        names = tasks[step.job, step.zone, step.step]
        if names:
            found[names.pop(0)] = round((step.start - work.at) / SECOND)
    return found
