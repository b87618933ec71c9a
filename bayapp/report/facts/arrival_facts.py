"""What was measured and photographed of a car, as its day record tells it."""

from collections.abc import Iterator

from bayapp.job.model.ids import ZoneId
from bayapp.job.state.state import BayState, JobState
from bayapp.job.thickness import limits_of, readings_of, thickness_of
from bayapp.report.facts.day_record import PhotoRecord, ThicknessRecord


def thickness_records(state: BayState, car: JobState) -> Iterator[ThicknessRecord]:
    """Yield what the readings of each zone come to, in the order of the vehicle form."""
    for zone, found in thickness_of(car, limits_of(state)).items():
        yield ThicknessRecord(
            zone=zone,
            name=car.job.zone_names[zone],
            um=readings_of(car, zone),
            least_um=found.least,
            mean_um=round(found.mean, 1),
            most_um=found.most,
            thin=found.thin,
            unlike=found.unlike.value if found.unlike else None,
            neighbours_um=None if found.neighbours_um is None else round(found.neighbours_um, 1),
            withdrawn=sum(len(entry.read.um) for entry in car.thickness[zone] if not entry.counts),
        )


def photo_records(car: JobState) -> Iterator[PhotoRecord]:
    """Yield the photos that nobody has taken away, in the order in which they were added."""
    for photo in car.photos:
        if photo.counts:
            added = photo.added
            yield PhotoRecord(
                zone=added.zone,
                name=_name(car, added.zone),
                phase=added.phase,
                sha256=added.sha256,
                kind=added.kind,
                size=added.size,
                at=added.at,
                by=added.by,
            )


def _name(car: JobState, zone: ZoneId | None) -> str | None:
    return None if zone is None else car.job.zone_names.get(zone, zone)
