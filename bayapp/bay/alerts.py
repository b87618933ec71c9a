"""The alerts of the bay: brought in line with the clocks, answered, and taken back where the air moved a wait."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from bayapp.alerts.calls import Call, call_again, call_due, next_call_at, note_call
from bayapp.alerts.condition import Condition
from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.lifecycle import LONGEST_SNOOZE, Alert, AlertBook, AlertState, acknowledge, refresh, snooze
from bayapp.alerts.withdrawn import AfterRestart, withdraw
from bayapp.bay.door import Change, Door
from bayapp.bay.sensors import BaySensors
from bayapp.bay.sound import GROUP as SOUND
from bayapp.bay.sound import BaySound
from bayapp.job import BayState, Event, ZoneClock, clocks
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.moved_clocks import MovedClocks, moved_clocks
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    JobClosed,
    StepFinished,
    StepStarted,
    TimePutRight,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.requests import AnswerAlerts


class BayAlerts:
    """The alerts as they stand; every answer to them is a request at the door.

    Attributes:
        book: every alert with its state.
        moved_clocks: what the last entry about the air that moved a running clock did to it, or None.
    """

    def __init__(
        self, door: Door, sensors: BaySensors, sound: BaySound, found: AfterRestart, heartbeat: datetime | None
    ) -> None:
        self._door = door
        self._sensors, self._sound = sensors, sound
        self.book = AlertBook()
        self.moved_clocks: MovedClocks | None = found.moved_clocks
        self._taken_back: tuple[Condition, ...] = found.taken_back
        self._off_since = _last_alive(heartbeat, found.state.last_at)
        self._restore()
        door.follow(self._heard_of)

    def update(self, at: datetime, clocks: Collection[ZoneClock], can_sound: bool = True) -> Call | None:
        """Bring the alerts in line with the clocks; return what must be sounded now, which counts as sounded.

        While nothing can sound yet, no call is made and none is lost: it is due once something can.
        """
        before = self.unanswered()
        beside = (*self._sensors.troubles, *self._sound.troubles)
        known = (*conditions(self._door.state, clocks, at), *beside, *self._taken_back)
        self.book = _without_old_silence(refresh(self.book, known, at, self._off_since))
        heard = {a.condition.subject for a in self.book.alerts if a.state is AlertState.ACKNOWLEDGED}
        self._taken_back = tuple(c for c in self._taken_back if c.subject not in heard)
        self._off_since = None
        call = call_due(self.book, at, self._door.speed) if can_sound else None
        if call:
            self.book = note_call(self.book, call, self._door.speed)
        if before != self.unanswered():
            self._door.tell()
        return call

    def unanswered(self) -> tuple[Alert, ...]:
        """Return the alerts that nobody has acknowledged or snoozed."""
        return tuple(a for a in self.book.alerts if a.state in (AlertState.RAISED, AlertState.CLEARED))

    def acknowledge(self, subjects: Collection[str]) -> None:
        """A person has heard these alerts."""
        self._answer(subjects, None)

    def snooze(self, subjects: Collection[str], length: timedelta) -> None:
        """Silence these alerts for a bounded time that never runs past a lapse."""
        self._answer(subjects, min(length, LONGEST_SNOOZE))

    def next_moment(self, at: datetime, clocks: Collection[ZoneClock]) -> datetime | None:
        """Return the next instant after ``at`` at which a clock changes or something must be sounded."""
        moments = [m for c in clocks for m in (c.opens_at, c.closing_from, c.lapses_at) if m]
        moments += [m + timedelta(milliseconds=1) for c in clocks if (m := c.lapses_at)]
        moments += [c.cure.until for c in clocks if c.cure]
        moments += [call] if (call := next_call_at(self.book, at, self._door.speed)) else []
        return min((m for m in moments if m > at), default=None)

    def _answer(self, subjects: Collection[str], length: timedelta | None) -> None:
        at = self._door.now()
        keys = tuple(a.condition.answer_key for a in self.book.alerts if a.condition.subject in subjects)
        if not self._door.request(AnswerAlerts(keys, None if length is None else at + length), at).accepted:
            return
        if length is None:
            self.book = acknowledge(self.book, subjects, at)
        else:
            self.book = snooze(self.book, subjects, at, length / timedelta(minutes=1))
        self.book = call_again(self.book, at)
        self._door.tell()

    def _heard_of(self, changes: Sequence[Change]) -> None:
        for before, event, after in changes:
            if isinstance(event, TimePutRight):
                self._begin_anew(event.at)
            if isinstance(event, AirRead | AirCorrected):
                self._retime(moved_clocks(before, event, after), after, event.at)
        self._silence(change.event for change in changes)
        self._withdraw_of({e.job for _, e, _ in changes if isinstance(e, JobClosed) and e.job})

    def _retime(self, found: MovedClocks | None, state: BayState, at: datetime) -> None:
        """Keep what a reading moved, to be said, and take back what was called and is not so after all."""
        if found:
            self.moved_clocks = found
            self.book, taken_back = withdraw(self.book, found.moved, state, at)
            self._taken_back += taken_back

    def _begin_anew(self, at: datetime) -> None:
        """Bring the alerts back as a start would: the moments that they were raised at are others now."""
        self.book, self.moved_clocks, self._taken_back, self._off_since = AlertBook(), None, (), at
        self._restore()

    def _withdraw_of(self, left: Collection[JobId]) -> None:
        """Take back every call of cars that left: nobody can answer it any more."""
        if not left:
            return
        self.book = replace(self.book, alerts=tuple(a for a in self.book.alerts if a.condition.job not in left))
        self._taken_back = tuple(c for c in self._taken_back if c.job not in left)

    def _silence(self, events: Iterable[Event]) -> None:
        """Whoever works on a zone, or sets it aside, has answered its calls and is there to hear the rest."""
        answering = (StepStarted, StepFinished, ZoneSetAside, ZoneTakenUp)
        touched = {(e.job, e.zone) for e in events if isinstance(e, answering)}
        subjects = {a.condition.subject for a in self.book.alerts if not _zones_of(a).isdisjoint(touched)}
        if subjects:
            self.book = acknowledge(self.book, subjects, self._door.now())
        if touched:
            self.book = call_again(self.book, self._door.now())

    def _restore(self) -> None:
        """Bring the alerts back as they were when the screen was last seen alive, answers included."""
        seen, state = self._off_since, self._door.state
        if seen is None:
            return
        known = conditions(state, clocks(state, seen), seen)
        book = refresh(AlertBook(), known, seen)
        answers = state.answers
        heard = {a.condition.subject for a in book.alerts if answers.get(a.condition.answer_key, seen) is None}
        self.book = acknowledge(book, heard, seen)
        for alert in book.alerts:
            until = answers.get(alert.condition.answer_key)
            if until and until > seen:
                subject = {alert.condition.subject}
                self.book = snooze(self.book, subject, seen, (until - seen) / timedelta(minutes=1))


def _without_old_silence(book: AlertBook) -> AlertBook:
    """Forget that nothing could be heard once it can: nobody has to answer that, and the next call shows it."""
    return replace(
        book,
        alerts=tuple(a for a in book.alerts if a.condition.group != SOUND or a.state is not AlertState.CLEARED),
    )


def _last_alive(heartbeat: datetime | None, last_event: datetime | None) -> datetime | None:
    """Return the latest moment of which it is known that the program ran."""
    return max((moment for moment in (heartbeat, last_event) if moment), default=None)


def _zones_of(alert: Alert) -> frozenset[tuple[JobId | None, ZoneId]]:
    """Return the zones that an alert speaks for."""
    return frozenset((alert.condition.job, zone) for zone in alert.condition.zones)
