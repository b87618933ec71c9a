"""Readings of the air in the order in which they were measured."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime, timedelta
from operator import attrgetter

from bayapp.job.state.events import AirCorrected, AirRead, AirValues

READING_HOLDS = timedelta(minutes=30)
"""How old a reading may be that vouches for a coat."""


@dataclass(frozen=True, slots=True)
class AirUnread:
    """From here on nobody knows the air around a car: it came to a place whose air had not been read."""

    measured_at: datetime


@dataclass(frozen=True, slots=True)
class AirFound:
    """A reading that a car found where it came to: it holds for the car from its arrival, ``measured_at``, on."""

    reading: AirRead
    measured_at: datetime

    @property
    def air_c(self) -> float:
        """The temperature of the air, °C."""
        return self.reading.air_c

    @property
    def rh_percent(self) -> float:
        """The relative humidity, %."""
        return self.reading.rh_percent

    @property
    def coat_c(self) -> float:
        """The temperature that a coat has, °C."""
        return self.reading.coat_c


Readings = tuple[AirRead, ...]
HeldReading = AirRead | AirFound | AirUnread
HeldReadings = tuple[HeldReading, ...]
measured_at = attrgetter("measured_at")


def with_reading(readings: Readings, reading: AirRead) -> Readings:
    """Return the readings with one more at its place; of two measured at one instant the later recorded counts."""
    if not readings or _order(reading) >= _order(readings[-1]):
        return (*readings, reading)
    place = bisect_right(readings, _order(reading), key=_order)
    return (*readings[:place], reading, *readings[place:])


def _order(reading: AirRead) -> tuple[datetime, datetime]:
    """Return what readings are in order of: when measured, then when recorded, which no correction changes."""
    return reading.measured_at, reading.at


def corrected(readings: Readings, correction: AirCorrected) -> Readings:
    """Return the readings with one of them become another, or withdrawn; unchanged where there is none such."""
    reading = recorded(readings, correction.corrects, correction.source)
    if reading is None:
        return readings
    others = tuple(other for other in readings if other is not reading)
    if correction.becomes is None:
        return others
    return with_reading(others, reading.model_copy(update=dict(correction.becomes)))


def recorded(readings: Readings, at: datetime, source: str) -> AirRead | None:
    """Return the reading that was recorded at an instant from a source, or None."""
    return next((r for r in reversed(readings) if r.at == at and r.source == source), None)


def until(readings: Readings, at: datetime) -> Readings:
    """Return the readings that had been measured at an instant."""
    return readings[: bisect_right(readings, at, key=measured_at)]


def values_of(reading: AirRead) -> AirValues:
    """Return what a reading says."""
    return AirValues(
        air_c=reading.air_c, rh_percent=reading.rh_percent, surface_c=reading.surface_c, read_at=reading.read_at
    )
