"""The bay's timeline, and the only reader of the machine's time of day and of its time since the start."""

import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol, Self

TOLERANCE_MS = 2_000
BOOT_ID_FILE = Path("/proc/sys/kernel/random/boot_id")
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_SINCE_BOOT = getattr(time, "CLOCK_BOOTTIME", getattr(time, "CLOCK_MONOTONIC", None))


@dataclass(frozen=True, slots=True)
class Stamp:
    """What the machine's clocks said at one moment.

    Attributes:
        boot_id: differs for every start of the machine.
        boot_ms: milliseconds since some moment of this boot, suspend included where the system counts it.
        wall_ms: the machine's wall clock, milliseconds since 1970 UTC; it may be wrong and may jump.
    """

    boot_id: str
    boot_ms: int
    wall_ms: int


@dataclass(frozen=True, slots=True)
class ClockJump:
    """The wall clock moved against the timeline.

    Attributes:
        by_ms: how far it jumped, positive forward.
        certain: False when real elapsed time could not be measured, so that a person must say what is right.
    """

    by_ms: int
    certain: bool


class Readings(Protocol):
    """Reads the machine's clocks."""

    def stamp(self) -> Stamp:
        """Return what they say now."""


class MachineReadings:
    """The real clocks.

    Linux counts through suspend (CLOCK_BOOTTIME) and names each boot. macOS counts through sleep too, but
    Windows may not; where the system names no boot, the moment of its start stands in, to ten seconds, so a
    stepped wall clock looks like another boot to the next program start: less certain, never wrong.
    """

    def __init__(self) -> None:
        self._boot_id = _named_boot() or f"since-{(_wall_ms() - _boot_ms()) // 10_000}"

    def stamp(self) -> Stamp:
        """Return what they say now."""
        return Stamp(self._boot_id, _boot_ms(), _wall_ms())


@dataclass
class HandReadings:
    """Clocks moved by hand, for tests and for pictures of a given moment."""

    boot_id: str
    boot_ms: int
    wall_ms: int

    def stamp(self) -> Stamp:
        """Return what they say now."""
        return Stamp(self.boot_id, self.boot_ms, self.wall_ms)

    def pass_time(self, by: timedelta) -> None:
        """Let real time pass, awake or suspended."""
        self.boot_ms += to_ms(by)
        self.wall_ms += to_ms(by)

    def step_wall(self, by: timedelta) -> None:
        """Move the wall clock alone."""
        self.wall_ms += to_ms(by)

    def reboot(self, boot_id: str, off: timedelta = timedelta()) -> None:
        """Start the machine anew after ``off``; the wall clock counted on."""
        self.boot_id, self.boot_ms = boot_id, 0
        self.wall_ms += to_ms(off)


class Clock(Protocol):
    """Where the program takes its time from."""

    @property
    def speed(self) -> float:
        """How many seconds of this clock pass in one real second."""

    def now(self) -> datetime:
        """Return the instant, aware, in UTC, to the millisecond."""

    def stamp(self) -> Stamp:
        """Return what the machine's clocks say now."""

    def watch(self) -> ClockJump | None:
        """Return how far the wall clock moved against elapsed time since it was last found moved."""

    def set_to_wall(self) -> timedelta:
        """Go to what the wall clock says, as a person has said that it is right; return how far that was."""


class BayClock:
    """A timeline that advances only by real elapsed time, so that a jump of the wall clock never moves it."""

    speed = 1.0

    def __init__(self, start: datetime, readings: Readings | None = None) -> None:
        self._readings = readings or MachineReadings()
        self._begin(self._readings.stamp(), start)

    @classmethod
    def at_wall(cls, readings: Readings | None = None) -> Self:
        """Return a timeline that starts at what the wall clock says."""
        readings = readings or MachineReadings()
        return cls(from_wall(readings.stamp()), readings)

    @classmethod
    def resume(
        cls,
        last: tuple[datetime, Stamp] | None,
        last_seen: datetime | None,
        keep_offset: bool,
        readings: Readings | None = None,
    ) -> tuple[Self, ClockJump | None]:
        """Return the timeline continued at program start, and the jump of the wall clock that it found.

        Takes the instant and stamp of the journal's last entry, the heartbeat's instant, and whether open
        jobs make it matter that the timeline keeps its distance from the wall clock.
        """
        readings = readings or MachineReadings()
        start, jump = resume_at(readings.stamp(), last, last_seen, keep_offset)
        return cls(start, readings), jump

    def now(self) -> datetime:
        """Return the instant, aware, in UTC, to the millisecond; never goes back."""
        return self._at(self._readings.stamp())

    def stamp(self) -> Stamp:
        """Return what the machine's clocks say now."""
        return self._readings.stamp()

    def watch(self) -> ClockJump | None:
        """Return how far the wall clock moved against elapsed time since it was last found moved, past 2 s."""
        stamp = self._readings.stamp()
        by_ms = self._offset(stamp) - self._known_offset
        if abs(by_ms) <= TOLERANCE_MS:
            return None
        self._known_offset += by_ms
        return ClockJump(by_ms, certain=True)

    def set_to_wall(self) -> timedelta:
        """Go to what the wall clock says, as a person has said that it is right; return how far that was.

        The one way in which ``now()`` may go back.
        """
        stamp = self._readings.stamp()
        was = self._at(stamp)
        self._begin(stamp, from_wall(stamp))
        return from_wall(stamp) - was

    def _begin(self, stamp: Stamp, start: datetime) -> None:
        self._start = start
        self._start_boot_ms = stamp.boot_ms
        self._elapsed_ms = 0
        self._known_offset = self._offset(stamp)

    def _at(self, stamp: Stamp) -> datetime:
        self._elapsed_ms = max(self._elapsed_ms, stamp.boot_ms - self._start_boot_ms)
        return self._start + timedelta(milliseconds=self._elapsed_ms)

    def _offset(self, stamp: Stamp) -> int:
        return stamp.wall_ms - to_ms(self._at(stamp) - EPOCH)


class PracticeClock:
    """Practice time: starts at a given instant and runs ``speed`` times as fast as real time."""

    def __init__(self, start: datetime, speed: float = 1.0, readings: Readings | None = None) -> None:
        if not speed > 0:
            raise ValueError(f"practice time runs forward: the speed must be above 0, not {speed:g}")
        self.speed = speed
        self._readings = readings or MachineReadings()
        self._start = start
        self._start_boot_ms = self._readings.stamp().boot_ms

    def now(self) -> datetime:
        """Return the practice instant, aware, in UTC, to the millisecond; never goes back."""
        elapsed_ms = self._readings.stamp().boot_ms - self._start_boot_ms
        return self._start + timedelta(milliseconds=int(elapsed_ms * self.speed))

    def stamp(self) -> Stamp:
        """Return what the machine's clocks say now."""
        return self._readings.stamp()

    def watch(self) -> ClockJump | None:
        """Return None: practice time has no wall clock that could be wrong."""
        return None

    def set_to_wall(self) -> timedelta:
        """Stay: practice time is invented."""
        return timedelta()


def resume_at(
    now: Stamp, last: tuple[datetime, Stamp] | None, last_seen: datetime | None, keep_offset: bool
) -> tuple[datetime, ClockJump | None]:
    """Return the instant at which the timeline goes on, and the jump of the wall clock that is known or feared.

    Within one boot, elapsed time is measured and the wall clock only compared. Across boots the wall clock is
    all there is; where it lies before a moment that has already been, nobody knows how long the machine was off.
    """
    if last and _same_boot(now, last[1]):
        at, stamp = last
        elapsed_ms = now.boot_ms - stamp.boot_ms
        by_ms = now.wall_ms - stamp.wall_ms - elapsed_ms
        jump = ClockJump(by_ms, certain=True) if abs(by_ms) > TOLERANCE_MS else None
        return at + timedelta(milliseconds=elapsed_ms), jump
    return _across_boots(from_wall(now), last, last_seen, keep_offset)


def _across_boots(
    wall: datetime, last: tuple[datetime, Stamp] | None, last_seen: datetime | None, keep_offset: bool
) -> tuple[datetime, ClockJump | None]:
    offset = last[0] - from_wall(last[1]) if last and keep_offset else timedelta()
    at = wall + offset
    known = max((moment for moment in (last and last[0], last_seen) if moment), default=at)
    if at >= known:
        return at, None
    return known, ClockJump(to_ms(at - known), certain=False)


def _same_boot(now: Stamp, then: Stamp) -> bool:
    """A machine put back to an older snapshot keeps its boot id, but its time since boot runs backward."""
    return now.boot_id == then.boot_id and now.boot_ms >= then.boot_ms


def from_wall(stamp: Stamp) -> datetime:
    """Return the wall clock's reading as an instant."""
    return EPOCH + timedelta(milliseconds=stamp.wall_ms)


def to_ms(span: timedelta) -> int:
    """Return whole milliseconds."""
    return span // timedelta(milliseconds=1)


def _named_boot() -> str | None:
    try:
        return BOOT_ID_FILE.read_text(encoding="ascii").strip()
    except OSError:
        return None


def _boot_ms() -> int:
    if _SINCE_BOOT is None:
        return time.monotonic_ns() // 1_000_000
    return time.clock_gettime_ns(_SINCE_BOOT) // 1_000_000


def _wall_ms() -> int:
    return time.time_ns() // 1_000_000
