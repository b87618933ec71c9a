"""Which zones were set aside, why, and when they were taken up again."""

from collections.abc import Sequence
from dataclasses import replace

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import Event, ZoneSetAside, ZoneTakenUp
from bayapp.report.facts.day_record import AsideRecord


def aside_records(events: Sequence[Event], job: Job) -> tuple[AsideRecord, ...]:
    """Return every time that a zone of a job was set aside, in the order of the journal, with its end if it has one."""
    records: list[AsideRecord] = []
    open_at: dict[ZoneId, int] = {}
    for event in events:
        if event.job != job.id:
            continue
        if isinstance(event, ZoneSetAside):
            open_at[event.zone] = len(records)
            name = job.zone_names.get(event.zone, event.zone)
            records.append(AsideRecord(event.zone, name, event.at, event.by, event.reason))
        elif isinstance(event, ZoneTakenUp) and event.zone in open_at:
            place = open_at.pop(event.zone)
            records[place] = replace(records[place], taken_up_at=event.at, taken_up_by=event.by)
    return tuple(records)
