"""One accepted touch on disk against a bare insert, and the reading of 100,000 entries, measured in one run."""

import sqlite3
import statistics
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from time import perf_counter

import pytest

from bayapp.job import EVENT, Event, fold
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import JobClosed, JobOpened, StepFinished, StepStarted
from bayapp.record import open_journal
from bayapp.record.bodies import from_bodies, to_body
from tests.record.samples import STAMP, START, finished, job, started

pytestmark = [pytest.mark.bench, pytest.mark.timeout(600)]

TOUCHES = 1_500
ENTRIES = 100_000
ZONES = [f"zone-{number}" for number in range(1, 46)]


def timed(work: Callable[[], object]) -> float:
    """Do the work and return how many milliseconds it took."""
    begin = perf_counter()
    work()
    return (perf_counter() - begin) * 1_000


def report(name: str, figures: Sequence[float]) -> float:
    median = statistics.median(figures)
    p99 = statistics.quantiles(figures, n=100)[-1]
    print(f"  {name:<44} median {median:8.3f} ms   p99 {p99:8.3f} ms   n = {len(figures)}")
    return median


def test_one_accepted_touch_against_a_bare_insert(tmp_path: Path):
    """By turns, so that both meet the same disk; the bare one stores the same text with the same safety."""
    journal = open_journal(tmp_path / "store")
    event = started("car", 1, touch="t-1")
    body = to_body(event)
    with closing(sqlite3.connect(tmp_path / "bare.sqlite3", isolation_level=None)) as bare:
        assert bare.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
        bare.execute("PRAGMA synchronous = FULL")
        bare.execute("CREATE TABLE journal (seq INTEGER PRIMARY KEY, body TEXT NOT NULL)")
        ours, theirs = [], []
        for _ in range(TOUCHES):
            ours.append(timed(lambda: journal.append((event,), STAMP)))
            theirs.append(timed(lambda: bare.execute("INSERT INTO journal (body) VALUES (?)", (body,))))
        assert bare.execute("SELECT count(*) FROM journal").fetchone() == (TOUCHES,)
    assert journal.last_seq() == TOUCHES
    journal.close()
    print()
    ratio = report("append of one event", ours) / report("bare sqlite3 insert, WAL, synchronous FULL", theirs)
    print(f"  ratio of the medians {ratio:.2f} (goal: at most 2)")


def history(jobs: int, open_at_the_end: int) -> list[Event]:
    """Invented touches of many jobs of 45 zones, one after the other, 100,000 entries in all."""
    events: list[Event] = []
    each = ENTRIES // jobs
    for number in range(jobs):
        name = JobId(f"car-{number}")
        begin = START + timedelta(days=number)
        closes = number < jobs - open_at_the_end
        events.append(JobOpened(at=begin, job=name, opened=job(name, ZONES)))
        touches = each - 1 - closes
        for touch in range(touches):
            at = begin + timedelta(seconds=3 * touch)
            kind = StepFinished if touch % 2 else StepStarted
            sample = finished(name) if kind is StepFinished else started(name, touch=f"t-{touch}")
            zone = ZONES[touch // 2 % len(ZONES)]
            events.append(sample.model_copy(update={"at": at, "zone": zone}))
        if closes:
            events.append(JobClosed(at=begin + timedelta(hours=9), job=name))
    return events


@pytest.mark.parametrize(("jobs", "open_at_the_end"), [(500, 6), (5, 5)])
def test_reading_a_journal_of_100_000_entries(tmp_path: Path, jobs: int, open_at_the_end: int):
    events = history(jobs, open_at_the_end)
    journal = open_journal(tmp_path)
    journal.append(events, STAMP)
    journal.close()

    begin = perf_counter()
    journal = open_journal(tmp_path)
    opening = (perf_counter() - begin) * 1_000
    present = [timed(journal.read_open) for _ in range(3)]
    whole = [timed(journal.read) for _ in range(3)]
    needed = journal.read_open()
    assert len(needed) == sum(len(events) // jobs for _ in range(open_at_the_end))
    assert journal.read() == events
    journal.close()
    print(f"\n  {len(events)} entries of {jobs} jobs, {open_at_the_end} of them open; {len(needed)} needed now")
    print(f"  open the journal                             {opening:8.1f} ms")
    report("read_open", present)
    report("read (everything)", whole)
    print(f"  fold of what is needed now                   {timed(lambda: fold(needed)):8.1f} ms")


def test_parsing_in_bulk_against_one_by_one():
    bodies = [to_body(event) for event in history(5, 5)]
    print()
    report("one array, collector held off (in use)", [timed(lambda: from_bodies(bodies)) for _ in range(3)])
    report("one by one", [timed(lambda: [EVENT.validate_json(body) for body in bodies]) for _ in range(3)])
