"""What a day record holds about the air: plain frozen values."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bayapp.job.model.ids import Person, StepId, ZoneId


@dataclass(frozen=True, slots=True)
class AirReading:
    """The air as read, with its dew point and how far the surface was above it, °C."""

    at: datetime
    by: Person | None
    air_c: float
    rh_percent: float
    surface_c: float | None
    dew_point_c: float
    margin_c: float


AirChangeKind = Literal["corrected", "withdrawn", "late", "read"]


@dataclass(frozen=True, slots=True)
class WaitMoved:
    """A running wait of zones that moved alike: when it would have opened and lapsed, and when it did then.

    ``since`` is what it counts from. None where there was no such moment, or the air did not tell it.
    """

    zones: tuple[ZoneId, ...]
    zone_names: str
    step: StepId
    title: str
    since: datetime | None
    opens_was: datetime | None
    opens_at: datetime | None
    lapses_was: datetime | None
    lapses_at: datetime | None


@dataclass(frozen=True, slots=True)
class AirChange:
    """An entry about the air that put something right or moved running waits; all values stay.

    Attributes:
        kind: "read" is a reading that came in time.
        at, by: when and by whom it was recorded; ``source`` is the sensor whose reading it is, or empty.
        measured_at: when the reading that it is about was measured.
        was, becomes: the reading before and after; None where there was none.
    """

    kind: AirChangeKind
    at: datetime
    by: Person | None
    source: str
    measured_at: datetime
    was: AirReading | None
    becomes: AirReading | None
    moved: tuple[WaitMoved, ...]


@dataclass(frozen=True, slots=True)
class Distrusted:
    """A sensor that a person took out of use: from when, by whom, until when.

    ``ended_by`` is who ended it where a touch did.
    """

    sensor: str
    at: datetime
    by: Person | None
    until: datetime
    ended_by: Person | None = None
