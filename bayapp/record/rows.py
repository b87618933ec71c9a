"""Maps entries to rows and back, and selects the rows that the present state depends on."""

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Row, and_, func, or_, select

from bayapp.clock import EPOCH, Stamp, to_ms
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import (
    AirCorrected,
    AlertAnswered,
    BaySetUp,
    BottleChosen,
    BottleDrawn,
    BottleFinished,
    BottleMeasured,
    BottleOpened,
    BottlePutBack,
    BottleRelabelled,
    BottleShelved,
    ClockStepped,
    ClockSynchronised,
    Event,
    JobClosed,
    JobOpened,
    JobReopened,
    MachineStarted,
    PhotoAdded,
    PlacesSetUp,
    SoundChecked,
    StayedLonger,
    TimePutRight,
    TimeZoneChanged,
)
from bayapp.record.air_rows import readings_needed
from bayapp.record.bodies import Upcasts, name_of, names_of, to_body
from bayapp.record.chain import NOTHING, Entry, Head, checksum_of
from bayapp.record.chained_rows import entries_where, verified
from bayapp.record.schema import JOURNAL

ALWAYS = (
    ClockStepped,
    TimePutRight,
    AirCorrected,
    PlacesSetUp,
    BottleShelved,
    BottleRelabelled,
    BottleOpened,
    BottleMeasured,
    BottleChosen,
    BottleFinished,
    BottlePutBack,
    BottleDrawn,
)
"""Events that the present state depends on however old they are. All are rare: a bottle has about six in its life."""
OF_CLOCK = (ClockStepped, MachineStarted, ClockSynchronised, TimePutRight, TimeZoneChanged)
"""Events that the machine reports, or that people say, of the time alone."""
OF_MACHINE = (MachineStarted, ClockSynchronised)
STARTS_KEPT = 60
"""How many of the last starts and settings of the machine's clock the present state depends on."""
DAY_MS = to_ms(timedelta(days=1))
_seq, _at_ms, _name, _job = JOURNAL.c.seq, JOURNAL.c.at_ms, JOURNAL.c.name, JOURNAL.c.job


class Stay(NamedTuple):
    """A job's time in the bay: the entry by which it came in, when that was, and when it left, None until then."""

    job: JobId
    seq: int
    came: int
    left: int | None = None


_HEAD = select(_seq, JOURNAL.c.checksum).order_by(_seq.desc()).limit(1)
_LAST_SEQ = select(func.coalesce(func.max(_seq), 0))


def entries_of(events: Sequence[Event], stamp: Stamp, head: Head) -> list[Entry]:
    """Return the entries of events that follow the head, chained to it and to each other."""
    entries: list[Entry] = []
    before = head.checksum
    for seq, event in enumerate(events, head.seq + 1):
        about = (seq, ms_of(event.at), name_of(event), event.job, to_body(event))
        entry = Entry(*about, stamp.boot_id, stamp.boot_ms, stamp.wall_ms)
        before = checksum_of(entry, before)
        entries.append(entry._replace(checksum=before))
    return entries


def ms_of(at: datetime) -> int:
    """Return an instant as milliseconds since 1970 UTC."""
    return to_ms(at - EPOCH)


def instant_of(at_ms: int) -> datetime:
    """Return the instant of milliseconds since 1970 UTC."""
    return EPOCH + timedelta(milliseconds=at_ms)


def stamp_of(row: Row[Any] | Entry) -> Stamp:
    """Return a row's stamp."""
    return Stamp(row.boot_id, row.boot_ms, row.wall_ms)


def head_of(connection: Connection) -> Head:
    """Return the last entry's number and checksum."""
    row = connection.execute(_HEAD).one_or_none()
    return Head(*row) if row else NOTHING


def last_seq(connection: Connection) -> int:
    """Return the number of the last entry, 0 where there is none."""
    seq: int = connection.execute(_LAST_SEQ).scalar_one()
    return seq


def open_jobs(connection: Connection, upcasts: Upcasts) -> dict[JobId, int]:
    """Return the jobs that are not closed and when each came in, oldest first; a job may come in again."""
    return {job: stay.came for job, stay in _stays(connection, upcasts).items() if stay.left is None}


def left_since(connection: Connection, upcasts: Upcasts, moment_ms: int) -> list[JobId]:
    """Return the jobs that were closed at a moment or later and are not open again, in the order of arrival."""
    return [job for job, s in _stays(connection, upcasts).items() if s.left is not None and s.left >= moment_ms]


def past_stays(connection: Connection, upcasts: Upcasts) -> list[Stay]:
    """Return the stays of the jobs that were closed and are not open again, the last to leave first."""
    past = [stay for stay in _stays(connection, upcasts).values() if stay.left is not None]
    return sorted(past, key=lambda stay: (stay.left, stay.seq), reverse=True)


def coming_in(seqs: Collection[int]) -> ColumnElement[bool]:
    """Return the condition on the entries of these numbers."""
    return _seq.in_(seqs)


def _stays(connection: Connection, upcasts: Upcasts) -> dict[JobId, Stay]:
    """Return the last stay of each job, in the order of arrival."""
    opened, closed = names_of([JobOpened], upcasts), names_of([JobClosed], upcasts)
    names = [*opened, *closed, *names_of([JobReopened], upcasts)]
    jobs: dict[JobId, Stay] = {}
    for entry in verified(connection.execute(entries_where(_name.in_(names)).order_by(_seq))):
        name, at_ms, seq, job = entry.name, entry.at_ms, entry.seq, JobId(entry.job or "")
        if name in opened:
            jobs.pop(job, None)
            jobs[job] = Stay(job, seq, at_ms)
        else:
            jobs[job] = jobs.get(job, Stay(job, seq, at_ms))._replace(left=at_ms if name in closed else None)
    return jobs


def needed_now(connection: Connection, upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition that selects the rows of ``Journal.read_open``."""
    jobs = open_jobs(connection, upcasts)
    last = verified(connection.execute(entries_where(_seq == last_seq(connection))))
    since = min([(last[0].at_ms if last else 0) - DAY_MS, *jobs.values()])
    recent = _name.in_(names_of([AlertAnswered, TimeZoneChanged], upcasts))
    sound = _latest(connection, _name.in_(names_of([SoundChecked], upcasts)))
    set_up = _latest(connection, _name.in_(names_of([BaySetUp], upcasts)))
    stay = _latest(connection, _name.in_(names_of([StayedLonger], upcasts)))
    return or_(
        _job.in_(jobs),
        and_(recent, _at_ms >= since),
        readings_needed(connection, upcasts, since, jobs),
        _name.in_(names_of(ALWAYS, upcasts)),
        _of_machine(connection, upcasts),
        _seq.in_([seq for seq in (sound, set_up, stay, last_seq(connection)) if seq]),
    )


def _of_machine(connection: Connection, upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition on the last starts of the machine and settings of its clock."""
    found = select(_seq).where(_name.in_(names_of(OF_MACHINE, upcasts))).order_by(_seq.desc()).limit(STARTS_KEPT)
    return _seq.in_(connection.execute(found).scalars().all())


def of_machine_time(connection: Connection, upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition on all that tells of the machine's time."""
    told = _name.in_(names_of((ClockStepped, TimePutRight), upcasts))
    return or_(told, _of_machine(connection, upcasts))


def last_touch(connection: Connection, upcasts: Upcasts) -> int | None:
    """Return when the last entry was recorded that tells of more than the time, ms; None where there is none."""
    told = select(_at_ms).where(_name.not_in(names_of((*OF_CLOCK, BaySetUp), upcasts)))
    at_ms: int | None = connection.execute(told.order_by(_seq.desc()).limit(1)).scalar_one_or_none()
    return at_ms


def putting_right(upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition on the entries that put the time right."""
    return _name.in_(names_of((TimePutRight,), upcasts))


def of_photos(upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition for the photos that were added."""
    return _name.in_(names_of([PhotoAdded], upcasts))


def of_past(connection: Connection, upcasts: Upcasts, job: JobId) -> ColumnElement[bool] | None:
    """Return the condition on the rows of a job that left and of the air until then; None where none such left."""
    stay = _stays(connection, upcasts).get(job)
    if stay is None or stay.left is None:
        return None
    air = readings_needed(connection, upcasts, stay.came, [job])
    corrected = _name.in_(names_of([AirCorrected], upcasts))
    right = _name.in_(names_of([TimePutRight], upcasts))
    return or_(_job == job, and_(or_(air, corrected), _at_ms <= stay.left), right)


def of_job(job: JobId, alone: bool, upcasts: Upcasts) -> ColumnElement[bool]:
    """Return the condition on a job's rows, and on those of no job; if ``alone``, of these what puts the time right."""
    others = _name.in_(names_of([TimePutRight], upcasts)) if alone else _job.is_(None)
    return or_(_job == job, others)


def after(seq: int) -> ColumnElement[bool]:
    """Return the condition on rows after an entry."""
    return _seq > seq


def _latest(connection: Connection, condition: ColumnElement[bool]) -> int | None:
    seq: int | None = connection.execute(select(func.max(_seq)).where(condition)).scalar_one()
    return seq
