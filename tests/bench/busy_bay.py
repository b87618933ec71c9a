"""Invented cars of many zones for the measurements: their jobs, a past of any length, and stores that hold it."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from bayapp.clock import BayClock
from bayapp.files.library import Library
from bayapp.job import Event, Job
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.model.instant import write_instant
from bayapp.job.state.events import JobClosed, JobOpened, SoundChecked, StepFinished, StepStarted
from bayapp.record import open_journal

ASH = Person("Ash")
SECOND = timedelta(seconds=1)
BLOCK = 3
LONG_WAIT = (600, 900)


def zones_of_the_estate() -> tuple[ZoneId, ...]:
    """Return every zone of the shipped estate; the first 45 are worked."""
    return tuple(ZoneId(zone.id) for zone in Library().load_vehicle("estate").zone)[:45]


def load_car(
    folder: Path, number: int, start: datetime, waiting: int, rungs: int, wait: tuple[int, int] = LONG_WAIT
) -> Job:
    """Return a car with 45 worked zones: the first ``waiting`` climb wipe and coat with a wait between, the others
    ``rungs`` plain wipes in blocks of three. A ``wait`` is from its least to its most minutes.
    """
    zones = zones_of_the_estate()
    text = ['format = "bayapp-job/1"', f'title = "Car {number}"', 'vehicle = "estate"', 'crew = ["Ash"]']
    text += [f"start = {write_instant(start)}"]
    text += [_work((zone,), "waits") for zone in zones[:waiting]]
    text += [_work(zones[n : n + BLOCK], "wipes") for n in range(waiting, len(zones), BLOCK)]
    if waiting:
        text += ["[[recipe.waits.step]]\nid = 'wipe-0'\nkind = 'wipe'"]
        text += [f"[[recipe.waits.step]]\nid = 'coat'\nkind = 'coat'\nwait = {{ min = {wait[0]}, max = {wait[1]} }}"]
    if waiting < len(zones):
        text += [f"[[recipe.wipes.step]]\nid = 'wipe-{n}'\nkind = 'wipe'" for n in range(rungs)]
    file = folder / f"car-{number}.toml"
    file.write_text("\n".join(text) + "\n", encoding="utf-8")
    return Library().load_job(file, f"car-{number}")


def _work(zones: Sequence[str], recipe: str) -> str:
    return f"[[work]]\nzones = {list(zones)}\nrecipe = '{recipe}'"


def wiped(job: Job, zones: Sequence[ZoneId], at: datetime, rung: int = 0) -> Iterator[Event]:
    """Tell of one step begun and done on each of these zones, two seconds apart, from ``at`` on."""
    for n, zone in enumerate(zones):
        touch = {"job": job.id, "by": ASH, "zone": zone, "step": StepId(f"wipe-{rung}")}
        yield StepStarted(at=at + 2 * n * SECOND, **touch)
        yield StepFinished(at=at + (2 * n + 1) * SECOND, **touch)


def cars_with_running_clocks(folder: Path, now: datetime, cars: int, clocks: int, rungs: int) -> list[Event]:
    """Return the past of some cars with so many running waits in all, no two of which open together."""
    events: list[Event] = []
    for number in range(cars):
        waiting = clocks // cars + (number < clocks % cars)
        begin = now - timedelta(hours=2) + number * timedelta(minutes=10)
        job = load_car(folder, number, begin, waiting, rungs)
        events.append(JobOpened(at=begin, job=job.id, opened=job))
        events += wiped(job, zones_of_the_estate()[:waiting], begin + SECOND)
    return events


def long_past(folder: Path, now: datetime, cars: int, still_open: int, entries: int) -> list[Event]:
    """Return exactly so many entries of cars that came one after the other; the last few have not left."""
    events: list[Event] = []
    zones = zones_of_the_estate()
    for number in range(cars):
        share = entries // cars + (number < entries % cars)
        leaves = number < cars - still_open
        begin = now - (cars - number) * 2 * share * SECOND
        job = load_car(folder, number, begin, 0, share // (2 * len(zones)) + 1)
        worked = [e for r in range(share // 90 + 1) for e in wiped(job, zones, begin + (90 * r + 1) * SECOND, r)]
        events.append(JobOpened(at=begin, job=job.id, opened=job))
        events += worked[: share - 1 - leaves]
        events += [JobClosed(at=begin + share * SECOND, job=JobId(job.id))] if leaves else []
    assert len(events) == entries
    return events


def write_store(store: Path, events: Sequence[Event], clock: BayClock) -> None:
    """Record these events and a sound check now, from which the next start goes on with the time that is now."""
    journal = open_journal(store)
    stamp = clock.stamp()
    journal.append([*events, SoundChecked(at=clock.now(), heard=True)], stamp)
    journal.heartbeat(clock.now(), stamp)
    journal.close()
