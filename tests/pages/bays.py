"""A bay with a real journal, a clock moved by hand and, if wanted, the practice car."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from bayapp.bay import Bay
from bayapp.clock import EPOCH, BayClock, HandReadings, to_ms
from bayapp.job import Event, Job, ZoneClock
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.state.events import AlertAnswered, EventBase
from bayapp.job.state.requests import ReportMachineStart, SayTime
from bayapp.practice import practice_scenario
from bayapp.record import Journal, open_journal

OPENING = datetime(2026, 3, 2, 9, 0, 0, 123_000, tzinfo=UTC)
CAR = JobId("practice-estate")
ASH, BO = Person("Ash"), Person("Bo")


class HandBay:
    """A bay on a store, its clock standing until it is moved; ``restart`` takes it down and up again."""

    def __init__(self, store: Path, at: datetime = OPENING) -> None:
        self.store = store
        self.readings = HandReadings("boot-1", 1_000, to_ms(at - EPOCH))
        self.clock = BayClock(at, self.readings)
        self.journal: Journal = open_journal(store)
        self.bay = Bay(self.journal, self.clock)

    def restart(self, off: timedelta = timedelta(), boot: str = "", up: timedelta = timedelta()) -> Bay:
        """Close the store, let time pass with the program off, and start anew.

        ``boot``: of the machine, where that starts anew, too, and has been on for ``up`` when the program starts.
        """
        self.journal.close()
        if boot:
            self.readings.reboot(boot, off)
        else:
            self.readings.pass_time(off)
        self.readings.pass_time(up)
        self.journal = open_journal(self.store)
        self.bay = Bay.begun(self.journal, self.readings, UTC)
        return self.bay

    def doubt_the_time(self) -> None:
        """Have the bay ask what time it is, as after an outage without a time service."""
        off = ReportMachineStart(self.bay.now(), timedelta(), timedelta(), "asked", synchronised=False)
        assert self.bay.request(off).accepted

    def settle_the_time(self) -> None:
        """Answer that the board's time is right."""
        assert self.bay.clock_watch.say(SayTime("time", self.bay.now())).accepted

    def wait(self, seconds: float) -> datetime:
        """Let real time pass; return the instant then."""
        self.readings.pass_time(timedelta(seconds=seconds))
        return self.bay.now()

    def go_to(self, at: datetime) -> datetime:
        """Let time pass until an instant."""
        return self.wait((at - self.bay.now()) / timedelta(seconds=1))

    def clocks(self) -> tuple[ZoneClock, ...]:
        return self.bay.clocks(self.bay.now())

    def clock_of(self, zone: str, job: JobId = CAR) -> ZoneClock:
        return next(c for c in self.clocks() if (c.job, c.zone) == (job, ZoneId(zone)))

    def update_alerts(self) -> None:
        self.bay.alerts.update(self.bay.now(), self.clocks())


@contextmanager
def hand_bay(store: Path, cars: int = 1, at: datetime = OPENING) -> Iterator[HandBay]:
    """Open a bay with so many practice cars, all at the moment the board opens."""
    hand = HandBay(store, at)
    try:
        if cars:
            hand.bay.restore(played(cars))
            hand.restart()
        yield hand
    finally:
        hand.journal.close()


@cache
def played(cars: int = 1) -> tuple[Event, ...]:
    """Return the practice day's events up to the opening, for so many cars that differ in name."""
    first = _played_once()
    return (*first, *(renamed(event, n) for n in range(2, cars + 1) for event in first if event.job))


def renamed(event: Event, number: int) -> Event:
    """Return the same event of another car."""
    changes: dict[str, object] = {"job": JobId(f"{CAR}-{number}")}
    opened = getattr(event, "opened", None)
    if isinstance(opened, Job):
        crew = {"crew": (Person(f"Cy {number}"), Person(f"Di {number}"))}
        changes["opened"] = opened.model_copy(
            update={"id": JobId(f"{CAR}-{number}"), "title": f"Estate {number}", **crew}
        )
    if event.by:
        changes["by"] = Person(f"{'Cy' if event.by == ASH else 'Di'} {number}")
    return event.model_copy(update=changes)


@cache
def _played_once() -> tuple[Event, ...]:
    with TemporaryDirectory() as folder:
        hand = HandBay(Path(folder))
        job, asked = practice_scenario(OPENING)
        hand.bay.open_job(job, job.start)
        for at, request in asked:
            assert hand.bay.request(request, at).accepted
        hand.update_alerts()
        long_ago = OPENING - timedelta(minutes=1)
        hand.bay.alerts.acknowledge(
            [a.condition.subject for a in hand.bay.alerts.unanswered() if a.condition.since < long_ago]
        )
        events = tuple(hand.journal.read())
        hand.journal.close()
    assert isinstance(events[-1], EventBase | AlertAnswered)
    return events
