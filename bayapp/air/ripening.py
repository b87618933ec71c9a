"""How far a wait has come when the air changes while it runs: the maturity method."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import ceil, floor
from typing import NamedTuple, Protocol

MS = timedelta(milliseconds=1)
MS_A_MINUTE = 60_000
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
NEARLY_MS = 1e-3
"""The rounding error allowed in sums of floating-point shares, in milliseconds."""
COOLEST, WARMEST = 2.5, 0.75
"""The largest and the smallest factor of the rule of thumb."""

Readings = Sequence[tuple[datetime, float | None]]
"""When each was measured and what it said, in the order of time; each holds until the next."""


class Curve(Protocol):
    """How long a wait is, by the temperature or humidity of the air."""

    def minutes_at(self, value: float) -> float | None:
        """Return the wait in minutes at this value; None outside the curve."""

    @property
    def shortest(self) -> float:
        """The shortest wait there is on the curve, minutes."""


@dataclass(frozen=True, slots=True)
class SheetTable:
    """The table of a product sheet: rows of °C or % humidity, and minutes; linear between rows, undefined outside.

    Raises:
        ValueError: fewer than two rows, values that do not rise, or minutes that are not above 0.
    """

    rows: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        values = [value for value, _ in self.rows]
        if len(values) < 2 or any(b <= a for a, b in pairwise(values)):
            raise ValueError("a table has at least two rows, each for a higher value than the one before")
        if any(not minutes > 0 for _, minutes in self.rows):
            raise ValueError("the minutes of a table's rows are above 0")

    def minutes_at(self, value: float) -> float | None:
        """Return the minutes at a value, by a straight line between the rows on both sides."""
        rows = self.rows
        place = bisect_right(rows, value, key=_first)
        if place == 0 or (place == len(rows) and value > rows[-1][0]):
            return None
        (low, short), (high, long) = rows[min(place, len(rows) - 1) - 1], rows[min(place, len(rows) - 1)]
        if value == high:
            return long
        return short + (long - short) * ((value - low) / (high - low))

    @property
    def shortest(self) -> float:
        """The shortest of the rows; between rows no wait is shorter."""
        return min(minutes for _, minutes in self.rows)


@dataclass(frozen=True, slots=True)
class RuleOfThumb:
    """A wait at one temperature, halved for every 10 °C more; a rule of thumb, never from a sheet.

    It is Q10 = 2, common practice for reactions near room temperature and no source for any one product; the factor on
    the time is kept between 0.75 and 2.5. ``low`` and ``high`` are the temperatures at which the product may be laid.
    """

    minutes: float
    at_c: float
    low: float = float("-inf")
    high: float = float("inf")

    def factor(self, value: float) -> float:
        """Return how many times as long the wait is at ``value`` °C."""
        doubled: float = 2.0 ** min(64.0, (self.at_c - value) / 10)
        return min(COOLEST, max(WARMEST, doubled))

    def minutes_at(self, value: float) -> float | None:
        """Return the minutes at a temperature, °C; None beyond the limits."""
        return self.minutes * self.factor(value) if self.low <= value <= self.high else None

    @property
    def shortest(self) -> float:
        """The wait in the warmest air."""
        return self.minutes * WARMEST


Timed = Sequence[tuple[int, float | None]]
"""From which millisecond on the wait has which length in minutes, in the order of time; None where that is unknown."""


def timed(curve: Curve, readings: Readings) -> Timed:
    """Return the length of the wait in the air of each reading, once for all clocks on one curve."""
    return [(_ms(moment), None if value is None else curve.minutes_at(value)) for moment, value in readings]


class Opening(NamedTuple):
    """When a wait is over, and from when the air has been unknown, or where the curve does not reach; None if never."""

    at: datetime | None
    unknown_since: datetime | None


class LatestMoment(NamedTuple):
    """The last millisecond of a latest moment, and whether the air was unknown at any time before or after it."""

    at: datetime
    air_was_unknown: bool


def opening(timed: Timed, since: datetime) -> Opening:
    """Return when a wait that began at ``since`` is over; how it is counted, see ``opens_at``."""
    left, gone = 1.0, 0
    opens_ms: int | None = None
    unknown_ms: int | None = None
    for length, minutes in _stretches(_ms(since), timed):
        if minutes is None:
            unknown_ms = gone if unknown_ms is None else unknown_ms
        else:
            unknown_ms = None
            if opens_ms is None:
                needs = left * minutes * MS_A_MINUTE
                if length is None or needs <= length + NEARLY_MS:
                    opens_ms = gone + ceil(needs - NEARLY_MS)
                else:
                    left -= length / (minutes * MS_A_MINUTE)
        gone += length or 0
    return Opening(_after(since, opens_ms), _after(since, unknown_ms))


def lapse(timed: Timed, shortest: float, since: datetime) -> LatestMoment:
    """Return the latest moment counted from ``since``; ``shortest`` is the curve's shortest wait, minutes.

    Where the air is unknown or the curve does not reach, time counts as in the air that shortens the wait most: the
    moment may be given too early there, never too late.
    """
    left, gone, unknown = 1.0, 0, False
    lapses_ms: int | None = None
    for length, minutes in _stretches(_ms(since), timed):
        unknown = unknown or minutes is None
        if lapses_ms is None:
            hardest = shortest if minutes is None else minutes
            needs = left * hardest * MS_A_MINUTE
            if length is None or needs < length - NEARLY_MS:
                lapses_ms = gone + floor(needs + NEARLY_MS)
            else:
                left -= length / (hardest * MS_A_MINUTE)
        gone += length or 0
    assert lapses_ms is not None  # the last stretch has no end
    return LatestMoment(since + MS * lapses_ms, unknown)


def opens_at(curve: Curve, since: datetime, readings: Readings) -> datetime | None:
    """Return the first millisecond at which a wait that began at ``since`` is over; None while that cannot be known.

    Each moment counts towards it as the share of the wait that it would be in the air of that moment, dt / wait(T):
    the maturity idea of ASTM C1074, with the sheet's own table as the rate. The last reading is held for good. Before
    the first reading, and where the curve does not reach, nothing is counted; held there, the answer is None.

    Args:
        since: the beginning, to the millisecond, as the readings are.
        readings: °C or % relative humidity, whichever the curve is drawn over; None where it was not known.
    """
    return opening(timed(curve, readings), since).at


def _stretches(start: int, timed: Timed) -> Iterator[tuple[int | None, float | None]]:
    """Yield how many milliseconds each length of the wait held from ``start`` on; None for the last, without end."""
    held: float | None = None
    for since, minutes in timed:
        if since > start:
            yield since - start, held
            start = since
        held = minutes
    yield None, held


def _ms(moment: datetime) -> int:
    return (moment - EPOCH) // MS


def _after(since: datetime, ms: int | None) -> datetime | None:
    return None if ms is None else since + MS * ms


def _first(row: tuple[float, float]) -> float:
    return row[0]
