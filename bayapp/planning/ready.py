"""When a car would be ready if it came in now, from a first plan without a search."""

from datetime import datetime

from bayapp.job.gate.fold import apply
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import JobOpened
from bayapp.job.state.state import BayState
from bayapp.planning.core.table import Table
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import relaxed


def ready_at(state: BayState, job: Job, at: datetime, shop: Shop) -> datetime | None:
    """Return when the last zone of ``job`` would be done, dry and fit to drive, beside what stands in the bay already.

    None if no order is found that keeps every wait, or if nothing is to be done. A search may find a sooner one; this
    takes hundredths of a second.
    """
    settled = relaxed(Situation(apply(state, JobOpened(at=at, job=job.id, opened=job)), at, shop))
    work, plan = settled.work, settled.plan
    if not plan.starts_s or settled.losses:
        return None
    table = Table(work.problem, plan)
    ends: dict[ZoneId, datetime] = {}
    for task in work.problem.tasks:
        rung = work.rung_of[task.id]
        if rung.job == job.id:
            zone = ZoneId(rung.zone)
            ends[zone] = max(ends.get(zone, at), work.moment(table.end(task.id)))
    return max((end + job.recipe_of(zone).finish.duration for zone, end in ends.items()), default=None)
