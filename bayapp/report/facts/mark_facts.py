"""What zones were marked as, and when each mark was set and lifted."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, tzinfo

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.mark import Mark
from bayapp.job.state.events import Event, JobOpened, MarkLifted, MarkSet
from bayapp.job.state.state import JobState
from bayapp.job.text.mark_words import mark_line
from bayapp.report.facts.day_record import MarkRecord


def mark_records(events: Sequence[Event], job: JobState, at: datetime, tz: tzinfo) -> tuple[MarkRecord, ...]:
    """Return every mark that a zone of a car ever had, in the order of the journal, with its end if it has one."""
    found: list[tuple[Mark, MarkRecord]] = []
    for event in events:
        if isinstance(event, JobOpened) and event.opened.id == job.job.id:
            of_zones = ((zone, mark) for zone, marks in event.opened.marks.items() for mark in marks)
            found += [(mark, _record(job, zone, mark, at, tz)) for zone, mark in of_zones]
        elif isinstance(event, MarkSet | MarkLifted) and event.job == job.job.id:
            found = [(mark, _ended(mark, record, event)) for mark, record in found]
            if isinstance(event, MarkSet):
                record = replace(_record(job, event.zone, event.mark, at, tz), set_at=event.at, set_by=event.by)
                found.append((event.mark, record))
    return tuple(record for _, record in found)


def _ended(mark: Mark, record: MarkRecord, event: MarkSet | MarkLifted) -> MarkRecord:
    """Return the record of a mark after an event; with its end where the event lifts it, or says it otherwise."""
    if record.zone != event.zone or record.lifted_at is not None:
        return record
    over = event.mark.replaces(mark) if isinstance(event, MarkSet) else event.mark == mark
    return replace(record, lifted_at=event.at, lifted_by=event.by) if over else record


def _record(job: JobState, zone: ZoneId, mark: Mark, at: datetime, tz: tzinfo) -> MarkRecord:
    return MarkRecord(
        zone=zone,
        zone_name=job.job.zone_names.get(zone, zone),
        kind=mark.kind,
        what=mark.what,
        point=mark.point,
        day=mark.date,
        days=mark.days,
        note=mark.note,
        said=mark_line(job, zone, mark, at, tz),
    )
