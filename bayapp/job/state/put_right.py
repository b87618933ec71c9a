"""Reads entries in the times that are known to be right by now; the journal keeps the times that were believed.

An entry that puts the time right shifts what was recorded before it from some instant on: whatever happened in between
two outages moves as a whole, so that the time between its entries stays as it was measured.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from functools import singledispatch

from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AirValues,
    AlertAnswered,
    BottleOpened,
    Event,
    EventBase,
    GotWet,
    MachineStarted,
    OutageLength,
    Shift,
    TimeCorrected,
    TimePutRight,
)

Fields = dict[str, object]


def put_right(events: Iterable[Event]) -> list[Event]:
    """Return these entries of a journal, in its order, in the times that are known to be right at their end.

    All entries that put the time right must be among them; others may be left out.
    """
    found: list[Event] = []
    for event in events:
        if isinstance(event, TimePutRight):
            for shift in event.shifts:
                _shift_back(found, shift)
        found.append(event)
    return found


def moments_put_right(moments: Sequence[datetime], by: Iterable[tuple[int, TimePutRight]]) -> list[datetime]:
    """Return moments in the order of the journal as ``put_right`` would; ``by``: each with how many came before it."""
    found = list(moments)
    for count, event in by:
        for shift in event.shifts:
            found[:count] = [shifted(moment, shift) for moment in found[:count]]
    return found


def shifted(moment: datetime, shift: Shift) -> datetime:
    """Return when something happened that was recorded at a moment."""
    return moment if shift.since is not None and moment < shift.since else moment + timedelta(milliseconds=shift.by_ms)


def _shift_back(events: list[Event], shift: Shift) -> None:
    """Shift the entries since the shift's instant; what lies before the start of the machine then is not looked at."""
    for place in range(len(events) - 1, -1, -1):
        event = events[place]
        if shift.since is not None and event.at < shift.since:
            return
        events[place] = _moved(event, shift)
        if isinstance(event, MachineStarted) and event.at == shift.since:
            return


def _moved(event: Event, shift: Shift) -> Event:
    return event.model_copy(update={"at": shifted(event.at, shift), **_others(event, shift)})


@singledispatch
def _others(event: EventBase, shift: Shift) -> Fields:
    """Return what else an entry says of moments that were read off the board's time; a date on a label was not."""
    return {}


@_others.register
def _time_corrected(event: TimeCorrected, shift: Shift) -> Fields:
    return {"was": shifted(event.was, shift), "becomes": shifted(event.becomes, shift)}


@_others.register
def _got_wet(event: GotWet, shift: Shift) -> Fields:
    return {"wet_at": shifted(event.wet_at, shift)}


@_others.register
def _air_read(event: AirRead, shift: Shift) -> Fields:
    return _read_at(event, shift)


@_others.register
def _air_corrected(event: AirCorrected, shift: Shift) -> Fields:
    values = (event.was, event.becomes)
    was, becomes = (v and v.model_copy(update=_read_at(v, shift)) for v in values)
    return {"corrects": shifted(event.corrects, shift), "was": was, "becomes": becomes}


@_others.register
def _alert_answered(event: AlertAnswered, shift: Shift) -> Fields:
    return {"until": event.until and shifted(event.until, shift)}


@_others.register
def _bottle_opened(event: BottleOpened, shift: Shift) -> Fields:
    return {"opened_at": event.opened_at and shifted(event.opened_at, shift)}


@_others.register
def _machine_started(event: MachineStarted, shift: Shift) -> Fields:
    return {"off_since": shifted(event.off_since, shift)}


@_others.register
def _time_put_right(event: TimePutRight, shift: Shift) -> Fields:
    moved = tuple(OutageLength(until=shifted(o.until, shift), length=o.length) for o in event.outages)
    return {"outages": moved}


def _read_at(values: AirRead | AirValues, shift: Shift) -> Fields:
    return {} if values.read_at is None else {"read_at": shifted(values.read_at, shift)}
