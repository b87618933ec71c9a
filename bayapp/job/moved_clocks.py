"""Which running clocks a reading of the air moved, and by how much, in one sentence.

The board shows it for two minutes; the day record keeps it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from bayapp.job.clocks import ZoneClock, zone_clock
from bayapp.job.model.ids import JobId, StepId, Urgency, ZoneId
from bayapp.job.model.wait_tables import By
from bayapp.job.state.events import AirCorrected, AirRead
from bayapp.job.state.readings import recorded
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.naming import capital, left_text, of_car, step_title, zones_title
from bayapp.text.figures import clock_time, percent, warmth
from bayapp.text.language import _, ngettext

WORTH_SAYING = timedelta(seconds=15)
"""How far a timely reading must move a clock before anybody is told; meters flicker."""
LATE = timedelta(minutes=1)
AirEvent = AirRead | AirCorrected


@dataclass(frozen=True, slots=True)
class MovedClock:
    """One zone's clock just before and just after an entry about the air."""

    job: JobId
    zone: ZoneId
    step: StepId
    was: ZoneClock
    now: ZoneClock

    @property
    def key(self) -> tuple[object, ...]:
        """What zones have in common that one sentence names together."""
        moments = (self.was.opens_at, self.now.opens_at, self.was.lapses_at, self.now.lapses_at)
        return (self.job, self.step, *moments)


@dataclass(frozen=True, slots=True)
class MovedClocks:
    """What an entry about the air did to the clocks that ran.

    Attributes:
        measured_at: when the reading that it is about was measured.
        before, after: the readings that held at the time of the entry, without it and with it.
    """

    event: AirEvent
    measured_at: datetime
    before: AirRead | None
    after: AirRead | None
    moved: tuple[MovedClock, ...]

    @property
    def in_time(self) -> bool:
        """Whether it is a reading that was recorded as it was measured."""
        return isinstance(self.event, AirRead) and not is_late(self.event)


def is_late(reading: AirRead) -> bool:
    """Whether a reading was recorded well after it was measured."""
    return reading.at - reading.measured_at >= LATE


def moved_clocks(before: BayState, event: AirEvent, after: BayState) -> MovedClocks | None:
    """Return what an entry moved by as much as is worth saying; None where it moved nothing."""
    moved = tuple(m for job in after.open_jobs if job.job.waits_on_air for m in _moved(before, job, event.at))
    place = after.jobs[moved[0].job].place if moved else None
    was, now = before.air_at(place), after.air_at(place)
    found = MovedClocks(event, _measured_at(before, event), was, now, moved)
    worth = WORTH_SAYING if found.in_time else timedelta(milliseconds=1)
    worth_saying = tuple(m for m in moved if _shift(m) >= worth)
    return MovedClocks(event, found.measured_at, was, now, worth_saying) if worth_saying else None


def _measured_at(before: BayState, event: AirEvent) -> datetime:
    if isinstance(event, AirRead):
        return event.measured_at
    reading = recorded(before.readings, event.corrects, event.source)
    return event.corrects if reading is None else reading.measured_at


def _moved(before: BayState, job: JobState, at: datetime) -> Iterable[MovedClock]:
    earlier = before.jobs.get(job.job.id)
    if earlier is None:
        return
    for zone in job.zones:
        now = zone_clock(job, zone, at)
        was = zone_clock(earlier, zone, at)
        step = was.lapses[0].step if was.lapses else (now.lapses[0].step if now.lapses else now.step)
        if step is not None and (now.anchor or was.anchor) and not now.out:
            yield MovedClock(job.job.id, zone, step, was, now)


def _shift(moved: MovedClock) -> timedelta:
    """Return by how much a clock moved; a time that was lost or found counts as very much."""
    was, now = moved.was, moved.now
    found = [_apart(was.lapses_at, now.lapses_at)]
    if Urgency.WAITING in (was.urgency, now.urgency):
        found.append(_apart(was.opens_at, now.opens_at))
    return max(found)


def _apart(was: datetime | None, now: datetime | None) -> timedelta:
    if was is None or now is None:
        return timedelta() if was is now else timedelta.max
    return abs(now - was)


def moved_clocks_text(found: MovedClocks, state: BayState, tz: tzinfo) -> str:
    """Return why and what, in one sentence: "The air is 4 °C colder: roof, level now opens at 14:12:00, 2:00 later"."""
    groups: dict[tuple[object, ...], list[MovedClock]] = {}
    for moved in sorted(found.moved, key=_soonest):
        groups.setdefault(moved.key, []).append(moved)
    first, *others = groups.values()
    job = state.jobs[first[0].job].job
    zones = zones_title(job, tuple(m.zone for m in first))
    step = step_title(job.recipe_of(first[0].zone), first[0].step)
    effect = of_car(job, _effect(first[0], {"zones": zones, "step": step}, tz), len(state.open_jobs))
    sentence = _("{cause}: {effect}").format(cause=_cause(found, first[0], tz), effect=effect)
    if others:
        more = ngettext("{n} more clock moved", "{n} more clocks moved", len(others)).format(n=len(others))
        sentence = _("{sentence}; {more}").format(sentence=sentence, more=more)
    return capital(sentence) + "."


def _soonest(moved: MovedClock) -> tuple[bool, datetime]:
    """What lost its time comes first, then what opens soonest."""
    opens = moved.now.opens_at
    moment = opens or moved.now.lapses_at or moved.now.since or moved.was.since
    assert moment, "a clock that moved has a moment, or had one"
    return opens is not None, moment


def _effect(moved: MovedClock, what: Mapping[str, str], tz: tzinfo) -> str:
    was, now = moved.was, moved.now
    if now.urgency is Urgency.WAITING and now.opens_at is None:
        return _("{zones}, {step} cannot be timed any more").format(**what)
    if Urgency.WAITING in (was.urgency, now.urgency) and now.opens_at and now.opens_at != was.opens_at:
        words = (
            _("{zones}, {step} opens at {time}"),
            _("{zones}, {step} now opens at {time}, {shift} later"),
            _("{zones}, {step} now opens at {time}, {shift} sooner"),
        )
        return _with_shift(words, what, was.opens_at, now.opens_at, tz)
    words = (
        _("{zones}, {step} closes at {time}"),
        _("{zones}, {step} now closes at {time}, {shift} later"),
        _("{zones}, {step} now closes at {time}, {shift} sooner"),
    )
    return _with_shift(words, what, was.lapses_at, now.lapses_at, tz)


def _with_shift(
    words: tuple[str, str, str], what: Mapping[str, str], was: datetime | None, now: datetime | None, tz: tzinfo
) -> str:
    assert now, "what has no time any more is said in other words"
    new, later, sooner = words
    if was is None:
        return new.format(time=clock_time(now, tz), **what)
    shift = left_text(abs(now - was))
    return (later if now > was else sooner).format(time=clock_time(now, tz), shift=shift, **what)


def _cause(found: MovedClocks, moved: MovedClock, tz: tzinfo) -> str:
    time = clock_time(found.measured_at, tz, seconds=False)
    if isinstance(found.event, AirCorrected):
        withdrawn = found.event.becomes is None
        said = _("the reading of {time} was withdrawn") if withdrawn else _("the reading of {time} was corrected")
        return said.format(time=time)
    if not found.in_time:
        return _("a reading of {time} came late").format(time=time)
    if found.before is None or found.after is None:
        return _("the air has been read")
    ripening = moved.now.ripening or moved.was.ripening
    if ripening is not None and ripening.by is By.HUMIDITY:
        return _damper(found.after.rh_percent - found.before.rh_percent)
    return _warmer(found.after.coat_c - found.before.coat_c)


def _warmer(kelvin: float) -> str:
    if abs(kelvin) < 0.05:
        return _("the air was read again")
    digits = 0 if round(abs(kelvin), 1) == round(abs(kelvin)) else 1
    said = _("the air is {by} warmer") if kelvin > 0 else _("the air is {by} colder")
    return said.format(by=warmth(abs(kelvin), digits))


def _damper(points: float) -> str:
    if abs(points) < 0.5:
        return _("the air was read again")
    said = _("the air is {by} damper") if points > 0 else _("the air is {by} drier")
    return said.format(by=percent(abs(points)))
