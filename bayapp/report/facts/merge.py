"""Joins zones with the same day into one row for the paper, and names them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.text.naming import zones_title
from bayapp.report.facts.day_record import (
    AsideRecord,
    CoverRecord,
    DeviationRecord,
    LapseRecord,
    MarkRecord,
    StepRecord,
    ZoneRecord,
)


@dataclass(frozen=True, slots=True)
class Row:
    """Zones of one work block that were worked by the same touches and stand alike; ``like`` is one of them."""

    title: str
    zones: tuple[ZoneRecord, ...]

    @property
    def like(self) -> ZoneRecord:
        """One of the zones; the others differ from it in name only."""
        return self.zones[0]


def rows_of(zones: Iterable[ZoneRecord], job: Job) -> tuple[Row, ...]:
    """Return the zones' days with equal ones joined, in the order of the job."""
    joined: dict[object, list[ZoneRecord]] = {}
    for zone in zones:
        joined.setdefault(_day_of(zone), []).append(zone)
    return tuple(Row(names_of(job, [z.zone for z in same]), tuple(same)) for same in joined.values())


def _day_of(zone: ZoneRecord) -> object:
    steps = tuple(_nameless(step) for step in zone.steps)
    return replace(zone, zone=ZoneId(""), name="", steps=steps)


def _nameless(step: StepRecord) -> StepRecord:
    """Leave out what differs from zone to zone though they were worked alike; bottles are listed on their own."""
    deviation = step.deviation and replace(step.deviation, zone=ZoneId(""), zone_name="", said="")
    return replace(step, bottle=None, deviation=deviation)


def names_of(job: Job, zones: Sequence[ZoneId]) -> str:
    """Return the zones' names, every one of them, after the title of the set that they make up, if any."""
    names = ", ".join(job.zone_names.get(zone, zone) for zone in zones)
    whole_sets = [name for name in job.vehicle.sets if set(job.zones_named(name)) == set(zones)]
    return f"{zones_title(job, zones)}: {names}" if whole_sets and len(zones) > 1 else names


def joined_deviations(deviations: Iterable[DeviationRecord]) -> tuple[tuple[DeviationRecord, ...], ...]:
    """Return deviations of one touch together."""
    joined: dict[object, list[DeviationRecord]] = {}
    for one in deviations:
        key = (one.at, one.by, one.title, one.codes, one.reason, one.taken_back_at)
        joined.setdefault(key, []).append(one)
    return tuple(map(tuple, joined.values()))


def joined_aside(asides: Iterable[AsideRecord]) -> tuple[tuple[AsideRecord, ...], ...]:
    """Return zones that were set aside and taken up by the same touches together."""
    joined: dict[object, list[AsideRecord]] = {}
    for one in asides:
        joined.setdefault(replace(one, zone=ZoneId(""), zone_name=""), []).append(one)
    return tuple(map(tuple, joined.values()))


def joined_marks(marks: Iterable[MarkRecord]) -> tuple[tuple[MarkRecord, ...], ...]:
    """Return zones that were marked alike, by the same touches, together."""
    joined: dict[object, list[MarkRecord]] = {}
    for one in marks:
        joined.setdefault(replace(one, zone=ZoneId(""), zone_name=""), []).append(one)
    return tuple(map(tuple, joined.values()))


def joined_covers(covers: Iterable[CoverRecord]) -> tuple[tuple[CoverRecord, ...], ...]:
    """Return coats that were covered and uncovered by the same touches together."""
    joined: dict[object, list[CoverRecord]] = {}
    for one in covers:
        joined.setdefault(replace(one, zone=ZoneId(""), zone_name=""), []).append(one)
    return tuple(map(tuple, joined.values()))


def joined_lapses(lapses: Iterable[LapseRecord]) -> tuple[tuple[LapseRecord, ...], ...]:
    """Return lapses of the same step at the same moment and price together."""
    joined: dict[object, list[LapseRecord]] = {}
    for one in sorted(lapses, key=lambda lapse: lapse.lapsed_at):
        joined.setdefault((one.title, one.lapsed_at, one.back_to, one.carried_on), []).append(one)
    return tuple(map(tuple, joined.values()))
