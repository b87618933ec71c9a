"""The bay's timeline, and the only reader of the machine's time of day and of its time since the start."""

import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol, Self

from bayapp.time_service import set_by_time_service

TOLERANCE_MS = 2_000
"""How far two clocks may be apart that are said to agree."""
BOOT_ID_FILE = Path("/proc/sys/kernel/random/boot_id")
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
UNNAMED_BOOT = "since-"
"""How the name of a boot begins that the system gave none."""
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
        by_ms: how far it jumped, positive forward; real elapsed time was measured.
    """

    by_ms: int


class Readings(Protocol):
    """Reads the machine's clocks."""

    def stamp(self) -> Stamp:
        """Return what they say now."""

    def synchronised(self) -> bool:
        """Whether the system says that its wall clock is set by a time service; False where that is not known."""


class MachineReadings:
    """The real clocks.

    Linux counts through suspend (CLOCK_BOOTTIME) and names each boot. macOS counts through sleep too, but
    Windows may not; where the system names no boot, the moment of its start stands in, to ten seconds, so a
    stepped wall clock looks like another boot to the next program start: less certain, never wrong.
    """

    def __init__(self) -> None:
        self._boot_id = _named_boot() or f"{UNNAMED_BOOT}{(_wall_ms() - _boot_ms()) // 10_000}"

    def stamp(self) -> Stamp:
        """Return what they say now."""
        return Stamp(self._boot_id, _boot_ms(), _wall_ms())

    def synchronised(self) -> bool:
        """Whether the system says that its wall clock is set by a time service."""
        return set_by_time_service()


@dataclass
class HandReadings:
    """Clocks moved by hand, for tests and for pictures of a given moment."""

    boot_id: str
    boot_ms: int
    wall_ms: int
    time_service: bool = False

    def stamp(self) -> Stamp:
        """Return what they say now."""
        return Stamp(self.boot_id, self.boot_ms, self.wall_ms)

    def synchronised(self) -> bool:
        """Whether a time service is said to set the wall clock."""
        return self.time_service

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

    def synchronised(self) -> bool:
        """Whether the system says that its wall clock is set by a time service."""

    def go_to(self, at: datetime) -> None:
        """Go on from this instant, as it has been said that it is now."""


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
        return ClockJump(by_ms)

    def synchronised(self) -> bool:
        """Whether the system says that its wall clock is set by a time service."""
        return self._readings.synchronised()

    def go_to(self, at: datetime) -> None:
        """Go on from this instant; the one way in which ``now()`` may go back."""
        self._begin(self._readings.stamp(), at)

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

    def synchronised(self) -> bool:
        """Return False: practice time is invented."""
        return False

    def go_to(self, at: datetime) -> None:
        """Stay: practice time is invented."""


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
