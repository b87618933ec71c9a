"""What a car would bring with it if it came in now, from a first plan without a search."""

from dataclasses import dataclass
from datetime import datetime

from bayapp.job.gate.fold import apply
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import JobOpened
from bayapp.job.state.state import BayState
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.promises import late_for
from bayapp.planning.core.table import Table
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import relaxed


@dataclass(frozen=True, slots=True)
class Beside:
    """What comes of a car that comes in beside what stands in the bay already.

    Attributes:
        ready: when the last of its zones would be done, dry and fit to drive; None if no order is found that keeps
            every wait, or if nothing is to be done.
        let_down: cars that are ready as promised without it, and with it are not.
    """

    ready: datetime | None
    let_down: tuple[JobId, ...] = ()


def beside(state: BayState, job: Job, at: datetime, shop: Shop) -> Beside:
    """Return what would come of ``job``. A search may find a better order; this takes hundredths of a second."""
    settled = relaxed(Situation(apply(state, JobOpened(at=at, job=job.id, opened=job)), at, shop))
    work, plan = settled.work, settled.plan
    if not plan.starts_s:
        return Beside(None)
    late = late_for(work.problem, plan) - {job.id}
    let_down = late - _late_without(state, at, shop) if late else late
    named = tuple(known.job.id for known in state.open_jobs if known.job.id in let_down)
    return Beside(None if settled.losses else _ready(work, plan, job), named)


def _late_without(state: BayState, at: datetime, shop: Shop) -> frozenset[str]:
    settled = relaxed(Situation(state, at, shop))
    return late_for(settled.work.problem, settled.plan) if settled.plan.starts_s else frozenset()


def _ready(work: Work, plan: Plan, job: Job) -> datetime | None:
    table = Table(work.problem, plan)
    ends: dict[ZoneId, datetime] = {}
    for task in work.problem.tasks:
        rung = work.rung_of[task.id]
        if rung.job == job.id:
            zone = ZoneId(rung.zone)
            ends[zone] = max(ends.get(zone, work.at), work.moment(table.end(task.id)))
    return max((end + job.recipe_of(zone).finish.duration for zone, end in ends.items()), default=None)
