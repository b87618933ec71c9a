"""Selects the readings of the air that running waits still depend on."""

from collections.abc import Collection
from functools import reduce

from sqlalchemy import ColumnElement, Connection, and_, or_

from bayapp.clock import EPOCH, to_ms
from bayapp.job.model.ids import JobId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.events import AirCorrected, AirRead, TimeCorrected
from bayapp.job.state.readings import READING_HOLDS, Readings, corrected
from bayapp.record.bodies import Upcasts, names_of
from bayapp.record.chained_rows import entries_where, events_of, verified
from bayapp.record.schema import JOURNAL

_seq, _at_ms, _name, _job = (JOURNAL.c[key] for key in ("seq", "at_ms", "name", "job"))
A_FEW = 20


def readings_needed(
    connection: Connection, upcasts: Upcasts, since_ms: int, jobs: Collection[JobId]
) -> ColumnElement[bool]:
    """Return the condition that selects the readings since a moment, and the one in force at that moment.

    A car that came to a place then counts what was read there up to half an hour before.

    A start that was corrected to an earlier time, also one before its car came in, needs the air from then on.
    """
    since_ms = min([since_ms, *_moved_to(connection, upcasts, jobs)])
    air = _name.in_(names_of([AirRead], upcasts))
    before = _held_at(connection, upcasts, since_ms)
    return and_(air, or_(_at_ms >= since_ms - to_ms(READING_HOLDS), _seq.in_(before)))


def _moved_to(connection: Connection, upcasts: Upcasts, jobs: Collection[JobId]) -> list[int]:
    names = names_of([TimeCorrected], upcasts)
    entries = verified(connection.execute(entries_where(and_(_name.in_(names), _job.in_(jobs)))))
    return [to_ms(e.becomes - EPOCH) for e in events_of(entries, upcasts) if isinstance(e, TimeCorrected)]


def _held_at(connection: Connection, upcasts: Upcasts, moment_ms: int) -> list[int]:
    """Return the readings recorded before a moment, back to one that is certainly no newer than the one in force then.

    None of them was measured after the moment; a late one may have been measured long before it was recorded, and a
    withdrawn one no longer counts.
    """
    names = names_of([AirCorrected], upcasts)
    entries = verified(connection.execute(entries_where(_name.in_(names)).order_by(_seq)))
    corrections = [e for e in events_of(entries, upcasts) if isinstance(e, AirCorrected)]
    seqs: list[int] = []
    latest: int | None = None
    query = entries_where(and_(_name.in_(names_of([AirRead], upcasts)), _at_ms < moment_ms))
    found = connection.execution_options(yield_per=A_FEW).execute(query.order_by(_seq.desc()))
    for row in found:
        (entry,) = verified([row])
        if latest is not None and entry.at_ms <= latest:
            break
        seqs.append(entry.seq)
        for event in (e for e in events_of([entry], upcasts) if isinstance(e, AirRead)):
            itself: Readings = () if event.place == OUTSIDE else (event,)  # it is in force for no bay
            for reading in reduce(corrected, corrections, itself):
                measured = to_ms(reading.measured_at - EPOCH)
                latest = measured if latest is None else max(latest, measured)
    found.close()
    return seqs
