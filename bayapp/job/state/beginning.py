"""What to believe of the time at a start: the board's time goes on by real elapsed time, where that is known.

Within one boot elapsed time is measured. Across boots only a clock counts that a time service has set, before and
after; else a person is asked, and until they answer only that time has passed which the machine has been on.
"""

from datetime import datetime, timedelta
from typing import NamedTuple

from bayapp.clock import TOLERANCE_MS, UNNAMED_BOOT, ClockJump, Stamp, from_wall
from bayapp.job.state.events import Length
from bayapp.job.state.machine_time import MachineTime
from bayapp.job.state.requests import ReportMachineStart

TOLERANCE = timedelta(milliseconds=TOLERANCE_MS)


class Sign(NamedTuple):
    """A sign of life: what the board and the machine's clocks said at one moment."""

    at: datetime
    stamp: Stamp


class Beginning(NamedTuple):
    """Where the board's time goes on, and what is to be recorded of that."""

    at: datetime
    jump: ClockJump | None = None
    start: ReportMachineStart | None = None


def newest(entry: Sign | None, beat: Sign | None, starts_recorded: bool) -> Sign | None:
    """Return the later of the last entry and the last sign of life.

    ``starts_recorded``: each boot has begun with an entry, so that a sign of life of another boot is older.
    """
    if entry is None or beat is None:
        return entry or beat
    if entry.stamp.boot_id == beat.stamp.boot_id:
        return max(entry, beat, key=lambda sign: sign.stamp.boot_ms)
    return entry if starts_recorded else max(entry, beat, key=lambda sign: sign.at)


def beginning(now: Stamp, synchronised: bool, last: Sign | None, known: MachineTime, hangs: bool) -> Beginning:
    """Return where the board's time goes on.

    Args:
        synchronised: a time service is said to have set the machine's clock.
        last: the newest sign of life, None for a new store.
        known: what the journal knows of the machine's time.
        hangs: a car is in the bay, or people recorded something today.
    """
    wall = from_wall(now)
    if last is None:
        return Beginning(wall)
    if _same_boot(now, last.stamp):
        elapsed_ms = now.boot_ms - last.stamp.boot_ms
        by_ms = now.wall_ms - last.stamp.wall_ms - elapsed_ms
        jump = ClockJump(by_ms) if abs(by_ms) > TOLERANCE_MS else None
        return Beginning(last.at + timedelta(milliseconds=elapsed_ms), jump)
    on_for = _on_for(now, last.stamp)
    offset = known.asked[0].offset if known.asked else last.at - from_wall(last.stamp)
    least, chain = last.at + on_for, known.chain

    def started(at: datetime, length: Length) -> Beginning:
        return Beginning(at, start=ReportMachineStart(last.at, on_for, offset, length, synchronised))

    if known.asked:
        return started(least, "asked")
    if hangs and synchronised and chain and (true := chain.at + (wall - chain.utc)) >= least - TOLERANCE:
        return started(max(true, least), "measured")
    return started(least, "asked") if hangs else started(wall, "unasked")


def _same_boot(now: Stamp, then: Stamp) -> bool:
    """A machine put back to an older snapshot keeps its boot id, but its time since boot runs backward."""
    return now.boot_id == then.boot_id and now.boot_ms >= then.boot_ms


def _on_for(now: Stamp, then: Stamp) -> timedelta:
    """Return how long the machine has been on since another boot; nothing where that may have been the same."""
    another = now.boot_id != then.boot_id and not now.boot_id.startswith(UNNAMED_BOOT)
    return timedelta(milliseconds=now.boot_ms if another else 0)


def by_service(known: MachineTime, wall: datetime) -> datetime | None:
    """Return what the board must say while a person is asked, by a time service; None if that cannot be told."""
    return None if known.chain is None else known.chain.at + (wall - known.chain.utc)
