"""Where a car stood, one stay after the other, and the readings of the air that counted for it meanwhile."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from bayapp.job.model.ids import PlaceId
from bayapp.job.model.place import NO_PLACES, Places
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS, AirFound, AirUnread, HeldReading, HeldReadings, Readings


@dataclass(frozen=True, slots=True)
class Stay:
    """A stretch of time in which a car stood in one place, and the bays and curtains stayed as they were.

    Attributes:
        moved: it began with the car's being moved, which can be taken back; else with its coming in, or a curtain.
        curing: the car only cures there, and nobody works on it; ``spot`` is where that is, in a few words.
    """

    since: datetime
    place: PlaceId | None = None
    places: Places = NO_PLACES
    moved: bool = False
    curing: bool = False
    spot: str = ""

    def counts(self, reading: AirRead) -> bool:
        """Whether a reading is one of the air around the car."""
        return self.places.same_air(reading.place, self.place)


def readings_over(stays: tuple[Stay, ...], readings: Readings) -> HeldReadings:
    """Return the readings that counted for a car, in the order of time.

    A reading taken in a place before the car came there holds for it if it was not over 30 minutes old then; else the
    air is unknown until somebody reads it. A car that came in while the bays had no names counts all of before.
    """
    first, *_ = stays
    if len(stays) == 1 and first.place is None and all(first.counts(r) for r in readings):
        return readings
    found: list[HeldReading] = []
    held: AirRead | None = None
    for stay, end in _with_ends(stays):
        here = [r for r in readings if stay.counts(r) and (end is None or r.measured_at < end)]
        whole = stay is first and stay.place is None
        before = [] if whole else [r for r in here if r.measured_at <= stay.since]
        last = before[-1] if before else None
        if last is not held and not whole:
            found += _on_arrival(stay, last, found[-1] if found else None, comes_in=stay is first)
            held = last if found and not isinstance(found[-1], AirUnread) else None
        later = here[len(before) :]
        found += later
        held = later[-1] if later else held
    return tuple(found)


def _on_arrival(stay: Stay, last: AirRead | None, before: HeldReading | None, comes_in: bool) -> Iterator[HeldReading]:
    """Yield the air that a car finds: for one that was here before, from its arrival on and no sooner."""
    if last is not None and stay.since - last.measured_at <= READING_HOLDS:
        yield last if comes_in else AirFound(last, stay.since)
    elif isinstance(before, AirRead | AirFound):
        yield AirUnread(stay.since)


def _with_ends(stays: Iterable[Stay]) -> Iterator[tuple[Stay, datetime | None]]:
    stays = tuple(stays)
    yield from ((one, following.since) for one, following in pairwise(stays))
    yield stays[-1], None
