"""The contents of a day record about the air, as plain frozen values."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bayapp.job.model.ids import Person, StepId, ZoneId


@dataclass(frozen=True, slots=True)
class AirReading:
    """A reading of the air, with its dew point and the margin of the surface above it, °C."""

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
    """A running wait of zones that moved alike: when it would have opened and lapsed before and after the reading.

    ``since`` is what it counts from. None if there is no such moment, or it is unknown because of the air.
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
    """An entry about the air that corrected something or moved running waits; the old values stay.

    Attributes:
        kind: "read" is a reading that came on time.
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
    """A sensor that a person took out of use, from when until when.

    ``ended_by`` is who ended it where a touch did.
    """

    sensor: str
    at: datetime
    by: Person | None
    until: datetime
    ended_by: Person | None = None
