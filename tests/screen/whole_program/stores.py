"""Stores as an earlier life of the program left them, for waits that open when a test needs them to."""

from datetime import timedelta
from pathlib import Path

from bayapp.clock import BayClock, Stamp, to_ms
from bayapp.files.library import Library
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.events import JobOpened, StepFinished, StepStarted
from bayapp.record import open_journal
from tests.screen.whole_program.taps_job import WAITING, write_job

MINUTE = timedelta(minutes=1)
WAIT = 10 * MINUTE


def store_with_a_wait(folder: Path, opens_in: timedelta, last_seen: timedelta) -> tuple[Path, Path]:
    """Return a store whose pane's wait opens so long from now, and its job file.

    ``last_seen`` says how long ago the program left its last sign of life. Each entry has the stamp that the
    machine's clocks would have had at its instant, so that the next start goes on with the time that is now.
    """
    clock = BayClock.at_wall()
    now, stamp = clock.now(), clock.stamp()
    wiped = now + opens_in - WAIT
    file = write_job(folder, now - 60 * MINUTE, WAIT / MINUTE)
    job = Library().load_job(file)
    zone, step = ZoneId(WAITING), StepId("wipe")
    journal = open_journal(folder / "store")
    for event in (
        JobOpened(at=now - 60 * MINUTE, job=job.id, opened=job),
        StepStarted(at=wiped - MINUTE, job=job.id, zone=zone, step=step),
        StepFinished(at=wiped, job=job.id, zone=zone, step=step),
    ):
        journal.append([event], _earlier(stamp, now - event.at))
    journal.heartbeat(now - last_seen, _earlier(stamp, last_seen))
    journal.close()
    return folder / "store", file


def _earlier(stamp: Stamp, by: timedelta) -> Stamp:
    return Stamp(stamp.boot_id, stamp.boot_ms - to_ms(by), stamp.wall_ms - to_ms(by))
