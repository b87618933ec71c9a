"""The one door: every change is asked for here, judged by the gate, written down, and folded into the state."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, tzinfo
from typing import NamedTuple

from bayapp.clock import Clock
from bayapp.job import BayState, Event, Job, Request, Verdict, ZoneClock, apply, clocks, fold, why_not
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import JobOpened, JobReopened, TimePutRight
from bayapp.job.state.requests import OpenJob, ReopenJob
from bayapp.job.state.state import JobState
from bayapp.record.journal import Journal, PastCar
from bayapp.record.left_cars import LeftCars


class Change(NamedTuple):
    """An event that was recorded, with the states just before and just after it."""

    before: BayState
    event: Event
    after: BayState


class Door:
    """Requests in, state out: gate, journal, fold, in this order.

    When ``request`` returns an accepted verdict, its events are on disk. Nothing else writes them, but for ``restore``.

    Attributes:
        state: what the journal adds up to.
    """

    def __init__(self, journal: Journal, clock: Clock, state: BayState) -> None:
        self._journal = journal
        self._clock = clock
        self._listeners: list[Callable[[], None]] = []
        self._followers: list[Callable[[Sequence[Change]], None]] = []
        self._left = LeftCars(journal)
        self.state = state

    def now(self) -> datetime:
        """Return the present instant, UTC to the millisecond; it runs back only where the time is put right."""
        at = self._clock.now()
        return at if self.state.last_at is None else max(at, self.state.last_at)

    @property
    def speed(self) -> float:
        """How many seconds of the bay pass in one real second; 1 except in practice."""
        return self._clock.speed

    def subscribe(self, listener: Callable[[], None]) -> None:
        """Call ``listener`` after every change of the state, the alerts or the work order."""
        self._listeners.append(listener)

    def follow(self, follower: Callable[[Sequence[Change]], None]) -> None:
        """Call ``follower`` with what was recorded by one request, before any listener hears of it."""
        self._followers.append(follower)

    def tell(self) -> None:
        """Let every listener know that something changed."""
        for listener in self._listeners:
            listener()

    def request(self, request: Request, at: datetime | None = None) -> Verdict:
        """Judge a request now and, if it is accepted, record it; when this returns, it is on disk.

        ``at`` is given only by practice, which tells of events of an invented morning, and by a start of the machine.
        """
        if isinstance(request, ReopenJob):
            self._recall(request.job)
        verdict = self._judge(request, at or self.now())
        if verdict.events:
            self._record(verdict.events)
        return verdict

    def judge(self, request: Request) -> Verdict:
        """Judge a request now without recording anything."""
        return self._judge(request, self.now())

    def open_job(self, job: Job, at: datetime | None = None) -> None:
        """Take a car into the bay.

        Raises:
            ValueError: a job of this id is here already, or has been.
        """
        refusal = self.request(OpenJob(job), at).refusal
        if refusal:
            raise ValueError(why_not(refusal, self.state))

    def restore(self, events: Sequence[Event]) -> None:
        """Record events that a gate has judged before, to show a day again; the one way past the gate."""
        self._record(events)

    def clocks(self, at: datetime) -> tuple[ZoneClock, ...]:
        """Return the clock of every worked zone of every open job."""
        return clocks(self.state, at)

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

    def car_as_it_left(self, job: JobId) -> JobState | None:
        """Return a car that left as it was then, however long ago, under the air of its days; None where there is none.

        Raises:
            StoreProblem: it cannot be read.
        """
        car = fold(self._journal.read_past(job)).jobs.get(job)
        return car if car and car.closed_at else None

    def past_cars(self, first: int, count: int) -> tuple[PastCar, ...]:
        """Return so many of the cars that left, from a place on, the one that left last first.

        Raises:
            StoreProblem: they cannot be read.
        """
        return self._journal.past_cars(first, count)

    def days_of(self, job: JobId, tz: tzinfo) -> tuple[date, ...]:
        """Return the local days on which something was recorded of a job, the latest first."""
        days = {moment.astimezone(tz).date() for moment in self._journal.moments_of(job)}
        return tuple(sorted(days, reverse=True))

    def _judge(self, request: Request, at: datetime) -> Verdict:
        return judge(request, BayFacts(self.state, at, self._was_here))

    def _recall(self, job: JobId) -> None:
        """Know a car that left again, however long ago that was."""
        if job not in self.state.jobs and (car := self.car_as_it_left(job)):
            self.state = replace(self.state, jobs={job: car, **self.state.jobs})

    def _was_here(self, job: JobId) -> bool:
        return any(isinstance(event, JobOpened) for event in self._journal.read_job(job))

    def _record(self, events: Sequence[Event]) -> None:
        self._journal.append(events, self._clock.stamp())
        changes = []
        for event in events:
            before, self.state = self.state, apply(self.state, event)
            changes.append(Change(before, event, self.state))
        if any(isinstance(event, JobReopened | TimePutRight) for event in events):
            self._read_anew(events[-1])
            changes[-1] = changes[-1]._replace(after=self.state)
        for follower in self._followers:
            follower(changes)
        self.tell()

    def _read_anew(self, last: Event) -> None:
        """Read what a start would: a car that comes back may need old air, a time put right moves what was before."""
        present = fold(self._journal.read_open())
        if isinstance(last, TimePutRight):
            self._clock.go_to(last.at)
            self._left, self.state = LeftCars(self._journal), present
        else:
            self.state = replace(present, jobs={**self.state.jobs, **present.jobs})
