"""Judges what is said of the machine's clock: jumps, starts, time services, and what time it is.

What nobody knows is taken so that no wait becomes shorter than it was: time that is missing is counted to no wait, and
time that was too much is taken from the outages that can have been shorter, the last one first.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from functools import singledispatch

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, BeforeOutage, BeyondCalendar, Why
from bayapp.job.model.ids import Code
from bayapp.job.model.instant import EARLIEST, LATEST, to_millisecond
from bayapp.job.state.events import (
    ClockStepped,
    ClockSynchronised,
    Length,
    MachineStarted,
    OutageLength,
    Shift,
    TimePutRight,
)
from bayapp.job.state.machine_time import MachineTime, Outage
from bayapp.job.state.put_right import shifted
from bayapp.job.state.requests import OfClock, ReportClockJump, ReportMachineStart, ReportSynchronised, SayTime
from bayapp.job.verdict import Refusal, Verdict

MINUTE = timedelta(minutes=1)
NONE = timedelta()
MS = timedelta(milliseconds=1)


@singledispatch
def judge_clock(request: OfClock, facts: BayFacts) -> Verdict:
    """Judge one request about the machine's clock."""
    raise TypeError(f"the gate has no rule for {type(request).__name__}")


@judge_clock.register
def _jump(request: ReportClockJump, facts: BayFacts) -> Verdict:
    """An open question stays open: that the machine's clock was set since does not tell how long it was off."""
    settled = not facts.state.machine.asked
    return Verdict(events=(ClockStepped(at=facts.at, by_ms=request.by_ms, settled=settled),))


@judge_clock.register
def _started(request: ReportMachineStart, facts: BayFacts) -> Verdict:
    event = MachineStarted(
        at=facts.at,
        off_since=request.off_since,
        on_ms=request.on_for // MS,
        offset_ms=request.offset // MS,
        length=request.length,
        synchronised=request.synchronised,
    )
    return Verdict(events=(event,))


@judge_clock.register
def _synchronised(request: ReportSynchronised, facts: BayFacts) -> Verdict:
    return Verdict(events=(ClockSynchronised(at=facts.at, utc=request.utc),))


@judge_clock.register
def _say(request: SayTime, facts: BayFacts) -> Verdict:
    known, is_now = facts.state.machine, request.is_now and to_millisecond(request.is_now)
    if is_now is not None and not EARLIEST <= is_now <= LATEST:
        return Verdict(refusals=(Refusal(Code.CLOCK, BeyondCalendar(is_now, EARLIEST, LATEST)),))
    if known.asked:
        return _answered(request, facts, NONE if is_now is None else is_now - facts.at)
    if is_now is None or is_now == facts.at:
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.NOTHING_TO_SETTLE)),))
    return _put_right(request, facts, is_now - facts.at)


def _answered(request: SayTime, facts: BayFacts, by: timedelta) -> Verdict:
    """Take the answer to how long the machine was off; a time of whole minutes may be up to one behind."""
    known = facts.state.machine
    if request.answer == "unknown":
        return _right(request, facts, (), {outage.until: "unsure" for outage in known.asked})
    if by >= -MINUTE:
        length: Length = "measured" if request.answer == "service" else "told"
        late = Shift(since=known.asked[0].until, by_ms=max(by, NONE) // MS)
        return _right(request, facts, (late,), {outage.until: length for outage in known.asked})
    shifts, left = _shortened(reversed(known.blamable), by)
    if left:
        return _before_outage(facts, known.asked[0])
    return _right(request, facts, shifts, {outage.until: "unsure" for outage in known.asked})


def _put_right(request: SayTime, facts: BayFacts, by: timedelta) -> Verdict:
    known, wrong = facts.state.machine, request.wrong
    if request.answer == "service" and known.lost is not None:
        shifts, lengths = _by_service(known, known.lost)
        given = sum((timedelta(milliseconds=shift.by_ms) for shift in shifts), NONE)
        return _right(request, facts, (*shifts, _all_along(known, by - given)), lengths)
    if wrong is None:
        shifts = _unknown_whose(known, known.blamable, by)
        return _right(request, facts, shifts, {outage.until: "unsure" for outage in known.blamable})
    if isinstance(wrong, str):
        return _right(request, facts, (_all_along(known, by),), {})
    outage = known.ended(wrong)
    if outage is None:
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.NOTHING_TO_SETTLE)),))
    if by < -outage.slack:
        return _before_outage(facts, outage)
    return _right(request, facts, (Shift(since=outage.until, by_ms=by // MS),), {outage.until: "told"})


def _by_service(known: MachineTime, lost: timedelta) -> tuple[tuple[Shift, ...], dict[datetime, Length]]:
    """Put right what a time service found lost, or too much, over outages; one alone to blame is measured by that."""
    blamed = known.blamed_for_lost
    if len(blamed) == 1 and lost >= -blamed[0].slack:
        return (Shift(since=blamed[0].until, by_ms=lost // MS),), {blamed[0].until: "measured"}
    return _unknown_which(blamed, lost), {}


def _unknown_which(blamed: Sequence[Outage], by: timedelta) -> tuple[Shift, ...]:
    """Return the shifts that are right for the longest waits: the first outage was longer, or the last ones shorter."""
    if by > NONE:
        return (Shift(since=blamed[0].until, by_ms=by // MS),) if blamed else ()
    return _shortened(reversed(blamed), by)[0]


def _unknown_whose(known: MachineTime, blamed: Sequence[Outage], by: timedelta) -> tuple[Shift, ...]:
    """Return the shifts where the board may have been wrong all along: no wait has longer run for it."""
    shifts, left = _shortened(reversed(blamed), min(by, NONE))
    return (*shifts, *((_all_along(known, left + max(by, NONE)),) if left or by > NONE else ()))


def _shortened(latest_first: Iterable[Outage], by: timedelta) -> tuple[tuple[Shift, ...], timedelta]:
    """Return how outages are shortened by so much (at most 0), and what none of them can have been too long."""
    shifts, left = [], by
    for outage in latest_first:
        part = max(left, -outage.slack)
        if part < NONE:
            shifts.append(Shift(since=outage.until, by_ms=part // MS))
            left -= part
    return tuple(shifts), left


def _all_along(known: MachineTime, by: timedelta) -> Shift:
    return Shift(since=known.began, by_ms=by // MS)


def _right(request: SayTime, facts: BayFacts, shifts: tuple[Shift, ...], lengths: dict[datetime, Length]) -> Verdict:
    """Return the entry that puts the time right; the ends of outages in it are shifted as all else."""

    def moved(moment: datetime) -> datetime:
        for shift in shifts:
            moment = shifted(moment, shift)
        return moment

    event = TimePutRight(
        at=moved(facts.at),
        by=request.by,
        answer=request.answer,
        shifts=tuple(shift for shift in shifts if shift.by_ms),
        outages=tuple(OutageLength(until=moved(until), length=length) for until, length in lengths.items()),
    )
    return Verdict(events=(event,))


def _before_outage(facts: BayFacts, outage: Outage) -> Verdict:
    """Refuse a time by which the machine would have been on again before it went off."""
    earliest = facts.at - outage.slack
    grounds = BeforeOutage(outage.since, earliest)
    return Verdict(refusals=(Refusal(Code.CLOCK, grounds, right_from=None),))
