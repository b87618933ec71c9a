"""Corrections of the air, and which running waits each reading moved."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from bayapp.air import dew_point
from bayapp.job.gate.fold import apply, fold
from bayapp.job.model.ids import JobId, Person
from bayapp.job.moved_clocks import AirEvent, MovedClock, is_late, moved_clocks
from bayapp.job.state.events import AirCorrected, AirRead, AirValues, Event
from bayapp.job.state.readings import recorded
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import step_title, zones_title
from bayapp.report.facts.air_values import AirChange, AirChangeKind, AirReading, WaitMoved


def read_as(reading: AirRead) -> AirReading:
    """Return a reading with its dew point and margin."""
    return _values(reading, reading.measured_at, reading.by)


def air_changes(events: Sequence[Event], job: JobId, begins: datetime, ends: datetime) -> Iterator[AirChange]:
    """Yield the entries between two moments that corrected, withdrew or came late, or moved a wait of this job."""
    state = fold(())
    for event in events:
        if event.job not in (None, job):
            continue
        before, state = state, apply(state, event)
        if isinstance(event, AirRead | AirCorrected) and begins <= event.at < ends:
            found = moved_clocks(before, event, state)
            change = _air_change(event, before, tuple(_moved(found.moved, state)) if found else ())
            if change.kind != "read" or change.moved:
                yield change


def _air_change(event: AirEvent, before: BayState, moved: tuple[WaitMoved, ...]) -> AirChange:
    if isinstance(event, AirRead):
        kind: AirChangeKind = "late" if is_late(event) else "read"
        return AirChange(kind, event.at, event.by, event.source, event.measured_at, None, read_as(event), moved)
    reading = recorded(before.readings, event.corrects, event.source)
    measured = event.was.read_at or event.corrects
    was = _values(event.was, measured, reading.by if reading else None)
    becomes = None
    if event.becomes:
        becomes = _values(event.becomes, event.becomes.read_at or event.corrects, was.by)
    return AirChange(
        "corrected" if becomes else "withdrawn", event.at, event.by, event.source, measured, was, becomes, moved
    )


def _moved(moved: Iterable[MovedClock], state: BayState) -> Iterator[WaitMoved]:
    """Yield the moves; zones that moved alike make one."""
    alike: dict[object, list[MovedClock]] = {}
    for one in moved:
        alike.setdefault(one.key, []).append(one)
    for same in alike.values():
        one, zones = same[0], tuple(m.zone for m in same)
        job = state.jobs[one.job].job
        title = step_title(job.recipe_of(one.zone), one.step)
        was, now = one.was, one.now
        moments = (was.opens_at, now.opens_at, was.lapses_at, now.lapses_at)
        yield WaitMoved(zones, zones_title(job, zones), one.step, title, now.since or was.since, *moments)


def _values(said: AirRead | AirValues, measured_at: datetime, by: Person | None) -> AirReading:
    coat_c = said.air_c if said.surface_c is None else said.surface_c
    dew = dew_point(said.air_c, said.rh_percent)
    return AirReading(measured_at, by, said.air_c, said.rh_percent, said.surface_c, dew, coat_c - dew)
