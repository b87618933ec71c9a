"""Which zones were set aside, why, and when they were taken up again."""

from collections.abc import Sequence
from dataclasses import replace

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import Event, ZoneSetAside, ZoneTakenUp
from bayapp.report.facts.day_record import AsideTold


def aside_told(events: Sequence[Event], job: Job) -> tuple[AsideTold, ...]:
    """Return every setting aside of a job in the order of the journal, with its end where it has one."""
    told: list[AsideTold] = []
    open_at: dict[ZoneId, int] = {}
    for event in events:
        if event.job != job.id:
            continue
        if isinstance(event, ZoneSetAside):
            open_at[event.zone] = len(told)
            name = job.zone_names.get(event.zone, event.zone)
            told.append(AsideTold(event.zone, name, event.at, event.by, event.reason))
        elif isinstance(event, ZoneTakenUp) and event.zone in open_at:
            place = open_at.pop(event.zone)
            told[place] = replace(told[place], taken_up_at=event.at, taken_up_by=event.by)
    return tuple(told)
