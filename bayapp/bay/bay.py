"""The one door: ask for a step, read the clocks, take advice, answer alerts, hear of changes."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta, tzinfo
from typing import NamedTuple

from bayapp.alerts.calls import Call, back_at_the_wall, call_due, next_call_at, note_call
from bayapp.alerts.condition import Condition
from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.lifecycle import LONGEST_SNOOZE, Alert, AlertBook, AlertState, acknowledge, refresh, snooze
from bayapp.alerts.withdrawn import after_restart, withdraw
from bayapp.clock import Clock, ClockJump, from_wall
from bayapp.job import (
    Advice,
    BayState,
    Event,
    Job,
    Request,
    Start,
    Verdict,
    ZoneClock,
    apply,
    clocks,
    gate,
)
from bayapp.job.model.ids import JobId, Person, Urgency, ZoneId
from bayapp.job.retimed import Retiming, retiming
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AlertAnswered,
    BaySetUp,
    ClockStepped,
    JobOpened,
    SoundChecked,
    StepFinished,
    StepStarted,
    TimeZoneChanged,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.sensor_trust import subject_of, unused
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.next.recommendation import Counsel, Pause, counsel, next_of, weighed
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.record.journal import Journal
from bayapp.record.left_cars import LeftCars

Listener = Callable[[], None]


class TimeZoneChange(NamedTuple):
    """Which time zone the machine had, and which it has now."""

    was: str
    becomes: str


class Bay:
    """The bay as it stands: state, clocks and alerts, kept true by the journal.

    Every change goes gate, journal, fold, in this order; when ``request`` returns an accepted verdict, the
    events are on disk.

    Attributes:
        order: the newest work order of the planner, or None.
        troubles: what is wrong with things of the bay, such as sensors; each calls for a person.
        apart: sensors of the air that contradict each other.
        retimed: what the last entry about the air that moved a running clock did to it, or None.
    """

    def __init__(self, journal: Journal, clock: Clock) -> None:
        self._journal = journal
        self._clock = clock
        self._listeners: list[Listener] = []
        self._left = LeftCars(journal)
        found = after_restart(journal.read_open())
        self.state: BayState = found.state
        self.alerts = AlertBook()
        self.order: WorkOrder | None = None
        self.troubles: tuple[Condition, ...] = ()
        self.apart: tuple[Contradiction, ...] = ()
        self.retimed: Retiming | None = found.retimed
        self._taken_back: tuple[Condition, ...] = found.taken_back
        self._noticed: list[ClockJump | TimeZoneChange] = []
        self._off_since = _last_alive(journal.last_heartbeat(), self.state.last_at)
        self._restore_alerts()

    def now(self) -> datetime:
        """Return the present instant, UTC to the millisecond; it never runs back."""
        at = self._clock.now()
        return at if self.state.last_at is None else max(at, self.state.last_at)

    @property
    def speed(self) -> float:
        """How many seconds of the bay pass in one real second; 1 except in practice."""
        return self._clock.speed

    def subscribe(self, listener: Listener) -> None:
        """Call ``listener`` after every change of the state, the alerts or the work order."""
        self._listeners.append(listener)

    def open_job(self, job: Job, at: datetime | None = None) -> None:
        """Take a car into the bay.

        Raises:
            ValueError: a job of this id is here already, or has been.
        """
        if any(isinstance(event, JobOpened) for event in self._journal.read_job(job.id)):
            raise ValueError(
                f"job {job.id!r} is in the bay already, or has been; give the new one another title or start"
            )
        self._record((JobOpened(at=at or self.now(), job=job.id, opened=job),))

    def restore(self, events: Sequence[Event]) -> None:
        """Take over events that a gate has judged before, e.g. to show a day again."""
        self._record(tuple(events))

    def request(self, request: Request, at: datetime | None = None) -> Verdict:
        """Judge a request now and, if it is accepted, record it; when this returns, it is on disk.

        ``at`` is given only by practice, which tells of events of an invented morning.
        """
        at = at or self.now()
        verdict = gate(self.state, request, at)
        if verdict.accepted:
            self._record(verdict.events)
        return verdict

    def judge(self, request: Request) -> Verdict:
        """Judge a request now without recording anything."""
        return gate(self.state, request, self.now())

    def clocks(self, at: datetime) -> tuple[ZoneClock, ...]:
        """Return the clock of every worked zone of every open job."""
        return clocks(self.state, at)

    def counsel(
        self, clocks: Collection[ZoneClock], by: Person | None, at: datetime
    ) -> tuple[tuple[Counsel, ...], Pause | None]:
        """Return what a person may begin now, the best first, and the pause that the plan has before it."""
        return counsel(self.state, self.order, clocks, by, at)

    def next_of(
        self, people: Collection[Person], clocks: Collection[ZoneClock], at: datetime
    ) -> dict[Person, tuple[Counsel | None, Pause | None]]:
        """Return for each person what the plan has next, or the pause before it."""
        return next_of(self.state, self.order, clocks, people, at)

    def weighed(self, start: Start, at: datetime) -> Counsel:
        """Return what speaks for and against beginning this now; nothing against what the plan itself has next."""
        clocks = self.clocks(at)
        counsels, _ = self.counsel(clocks, start.by, at)
        asked = {(start.job, start.step, zone) for zone in start.zones}
        for found in counsels:
            if found.planned and asked <= {(found.advice.job, found.advice.step, z) for z in found.advice.zones}:
                return replace(found, losses=(), risks=())
        advice = Advice(start.job, start.zones, start.step, Urgency.IDLE, None, at)
        return weighed(self.state, self.order, clocks, advice, start.by, at)

    def take_order(self, order: WorkOrder | None) -> None:
        """Keep the planner's newest work order."""
        self.order = order
        self._tell()

    @property
    def knows_left(self) -> bool:
        """Whether the state holds all cars that left within a day; else more solvent is in the air than it knows of."""
        return self._left.all_read

    def recall_left(self) -> bool:
        """Read one more car that left within a day before this start; return whether there was one.

        Raises:
            StoreProblem: it cannot be read; the next call tries again.
        """
        car = self._left.read_next(self.now(), self.state.jobs)
        if car is None:
            return False
        self.state = replace(self.state, jobs={car.job.id: car, **self.state.jobs})
        return True

    def days_of(self, job: JobId, tz: tzinfo) -> tuple[date, ...]:
        """Return the local days on which something was recorded of a job, the latest first."""
        days = {moment.astimezone(tz).date() for moment in self._journal.moments_of(job)}
        return tuple(sorted(days, reverse=True))

    def update_alerts(self, at: datetime, clocks: Collection[ZoneClock], can_sound: bool = True) -> Call | None:
        """Bring the alerts in line with the clocks; return what must be sounded now, which counts as sounded.

        While nothing can sound yet, no call is made and none is lost: it is due once something can.
        """
        before = self.alerts
        known = (*conditions(self.state, clocks, at), *self.troubles, *self._taken_back)
        self.alerts = refresh(self.alerts, known, at, self._off_since)
        heard = {a.condition.subject for a in self.alerts.alerts if a.state is AlertState.ACKNOWLEDGED}
        self._taken_back = tuple(c for c in self._taken_back if c.subject not in heard)
        self._off_since = None
        call = call_due(self.alerts, at, self.speed) if can_sound else None
        if call:
            self.alerts = note_call(self.alerts, call, self.speed)
        if self._unanswered(before) != self._unanswered(self.alerts):
            self._tell()
        return call

    def unanswered(self) -> tuple[Alert, ...]:
        """Return the alerts that nobody has acknowledged or snoozed."""
        return self._unanswered(self.alerts)

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
        moments += [call] if (call := next_call_at(self.alerts, at, self.speed)) else []
        return min((m for m in moments if m > at), default=None)

    def trust_sensor(self, sensor: str, again_from: datetime, by: Person | None = None) -> None:
        """A person has said not to use a sensor before an instant; recorded, so that a restart keeps to it."""
        subjects = (subject_of(sensor),)
        self._record((AlertAnswered(at=self.now(), by=by, subjects=subjects, until=again_from),))

    def unused_sensors(self, at: datetime) -> frozenset[str]:
        """Return the sensors that are not used now."""
        return unused(self.state.answers, at)

    def sound_checked(self, heard: bool) -> None:
        """Record that the sound check was played and whether it was heard."""
        self._record((SoundChecked(at=self.now(), heard=heard),))

    def clock_stepped(self, step: ClockJump) -> None:
        """Record that the machine's wall clock moved against elapsed time; running waits do not move.

        An open question stays open: that the network or a person has set the machine's clock since then does
        not tell how long the machine was off.
        """
        settled = step.certain and not self.clock_unsure
        self._record((ClockStepped(at=self.now(), by_ms=step.by_ms, settled=settled),))

    @property
    def clock_unsure(self) -> bool:
        """Whether a person must still say what time it is."""
        return self.state.open_clock_step is not None

    def wall_time(self) -> datetime:
        """Return what the machine's wall clock says, right or wrong."""
        return from_wall(self._clock.stamp())

    def settle_clock(self, to_wall: bool = False) -> None:
        """A person has said that the time shown is right, or that the machine's clock is by now: go on from that."""
        by_ms = self.state.clock_steps[-1].by_ms if self.state.clock_steps else 0
        if to_wall:
            self._clock.set_to_wall()
        self._record((ClockStepped(at=self.now(), by_ms=by_ms, settled=True),))

    def watch_clock(self) -> None:
        """Notice and record a step of the wall clock, and leave a sign of life for the next start.

        Raises:
            BackgroundWriteFailed: the store failed; what was noticed is kept and recorded at a later watch.
        """
        step = self._clock.watch()
        if step:
            self._noticed.append(step)
        try:
            while self._noticed:
                self._record_noticed(self._noticed[0])
                del self._noticed[0]
            self._journal.heartbeat(self.now(), self._clock.stamp())
        except StoreProblem as trouble:
            raise BackgroundWriteFailed(trouble.what, trouble.where, trouble.remedy) from trouble

    def set_up(self, dew_margin_k: float, volume_m3: float | None, air_changes: float | None, mixing_k: float) -> None:
        """The shop has said how its bay is; recorded where that is not what holds already."""
        said = {"dew_margin_k": dew_margin_k, "volume_m3": volume_m3, "air_changes": air_changes, "mixing_k": mixing_k}
        holds = self.state.set_up or BaySetUp(at=self.now())
        if any(getattr(holds, key) != value for key, value in said.items()):
            self._record((BaySetUp.model_validate({"at": self.now(), **said}),))

    def notice_time_zone(self, was: str, becomes: str) -> None:
        """Take note that the machine was given another time zone, to be recorded at the next watch."""
        self._noticed.append(TimeZoneChange(was, becomes))

    def _record_noticed(self, noticed: ClockJump | TimeZoneChange) -> None:
        if isinstance(noticed, ClockJump):
            self.clock_stepped(noticed)
        else:
            self._record((TimeZoneChanged(at=self.now(), was=noticed.was, becomes=noticed.becomes),))

    def _record(self, events: tuple[Event, ...]) -> None:
        self._journal.append(events, self._clock.stamp())
        for event in events:
            before, self.state = self.state, apply(self.state, event)
            if isinstance(event, AirRead | AirCorrected):
                self._retime(before, event)
        self._silence(events)
        self._tell()

    def _retime(self, before: BayState, event: AirRead | AirCorrected) -> None:
        """Keep what a reading moved, to be said, and take back what was called and is not so after all."""
        found = retiming(before, event, self.state)
        if found:
            self.retimed = found
            self.alerts, told = withdraw(self.alerts, found.moved, self.state, event.at)
            self._taken_back += told

    def _silence(self, events: tuple[Event, ...]) -> None:
        """Whoever works on a zone, or sets it aside, has answered its calls and is there to hear the rest."""
        answering = (StepStarted, StepFinished, ZoneSetAside, ZoneTakenUp)
        touched = {(e.job, e.zone) for e in events if isinstance(e, answering)}
        subjects = {a.condition.subject for a in self.alerts.alerts if not _zones_of(a).isdisjoint(touched)}
        if subjects:
            self.alerts = acknowledge(self.alerts, subjects, self.now())
        if touched:
            self.alerts = back_at_the_wall(self.alerts, self.now())

    def _tell(self) -> None:
        for listener in self._listeners:
            listener()

    def _answer(self, subjects: Collection[str], length: timedelta | None) -> None:
        at = self.now()
        keys = tuple(_answer_key(a) for a in self.alerts.alerts if a.condition.subject in subjects)
        self._record((AlertAnswered(at=at, subjects=keys, until=None if length is None else at + length),))
        if length is None:
            self.alerts = acknowledge(self.alerts, subjects, at)
        else:
            self.alerts = snooze(self.alerts, subjects, at, length / timedelta(minutes=1))
        self.alerts = back_at_the_wall(self.alerts, at)
        self._tell()

    def _unanswered(self, book: AlertBook) -> tuple[Alert, ...]:
        return tuple(a for a in book.alerts if a.state in (AlertState.RAISED, AlertState.CLEARED))

    def _restore_alerts(self) -> None:
        """Bring the alerts back as they were when the screen was last seen alive, answers included."""
        seen = self._off_since
        if seen is None:
            return
        known = conditions(self.state, clocks(self.state, seen), seen)
        book = refresh(AlertBook(), known, seen)
        answers = self.state.answers
        heard = {a.condition.subject for a in book.alerts if answers.get(_answer_key(a), seen) is None}
        self.alerts = acknowledge(book, heard, seen)
        for alert in book.alerts:
            until = answers.get(_answer_key(alert))
            if until and until > seen:
                subject = {alert.condition.subject}
                self.alerts = snooze(self.alerts, subject, seen, (until - seen) / timedelta(minutes=1))


def _last_alive(heartbeat: datetime | None, last_event: datetime | None) -> datetime | None:
    """Return the latest moment of which it is known that the program ran."""
    return max((moment for moment in (heartbeat, last_event) if moment), default=None)


def _answer_key(alert: Alert) -> str:
    """Return what an answer is recorded under: closing is asked anew although opened was answered."""
    return f"{alert.condition.kind}|{alert.condition.subject}"


def _zones_of(alert: Alert) -> frozenset[tuple[JobId | None, ZoneId]]:
    """Return the zones that an alert speaks for."""
    return frozenset((alert.condition.job, zone) for zone in alert.condition.zones)
