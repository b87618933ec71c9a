"""What the readings of a car's paint come to: least, mean and count of each zone, thin zones and unlike ones."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean, median

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.thickness import THIN_UM, UNLIKE_UM
from bayapp.job.state.state import BayState, JobState

FARTHEST = 2
"""Neighbours of neighbours are compared where no neighbour was measured: glass and lamps lie between painted zones."""


class Unlike(StrEnum):
    """Which way a zone is unlike its neighbours."""

    THICKER = "thicker"
    THINNER = "thinner"


@dataclass(frozen=True, slots=True)
class Limits:
    """What counts as thin, and as unlike the neighbours, µm; common practice, no source."""

    thin_um: float = THIN_UM
    unlike_um: float = UNLIKE_UM


@dataclass(frozen=True, slots=True)
class ZoneThickness:
    """What the gauge readings of a zone come to, µm.

    Attributes:
        least, mean, most, count: of the readings that count.
        thin: the least lies below the limit.
        unlike: whether its mean stands apart from the neighbours', and half as far from the middle of all zones, so
            that sound paint beside a repainted zone is not taken for it; None where not, or no neighbour was measured.
        neighbours_um: the median of the neighbours' means, or None.
    """

    zone: ZoneId
    least: float
    mean: float
    most: float
    count: int
    thin: bool
    unlike: Unlike | None
    neighbours_um: float | None


def limits_of(state: BayState) -> Limits:
    """Return the shop's limits."""
    return Limits(state.set_up.thin_um, state.set_up.unlike_um) if state.set_up else Limits()


def readings_of(job: JobState, zone: ZoneId) -> tuple[float, ...]:
    """Return the gauge readings of a zone that count, in the order of measuring, µm."""
    return tuple(um for entry in job.thickness.get(zone, ()) if entry.counts for um in entry.read.um)


def thickness_of(job: JobState, limits: Limits, only: Collection[ZoneId] | None = None) -> dict[ZoneId, ZoneThickness]:
    """Return what was measured of each zone, in the order of the vehicle form; zones without readings are left out.

    ``only``: of these zones, where not all are asked for.
    """
    read = {zone: um for zone in job.job.zone_names if job.thickness.get(zone) and (um := readings_of(job, zone))}
    means = {zone: fmean(um) for zone, um in read.items()}
    middle, found = median(means.values()) if means else 0.0, {}
    neighbours = {ZoneId(zone.id): zone.neighbours for zone in job.job.vehicle.zone}
    for zone, um in read.items():
        if only is not None and zone not in only:
            continue
        beside = measured_beside(neighbours, zone, means)
        usual = median(beside.values()) if beside else None
        found[zone] = ZoneThickness(
            zone=zone,
            least=min(um),
            mean=means[zone],
            most=max(um),
            count=len(um),
            thin=min(um) < limits.thin_um,
            unlike=_unlike(means[zone], usual, middle, limits.unlike_um),
            neighbours_um=usual,
        )
    return found


def measured_beside(
    neighbours: Mapping[ZoneId, tuple[str, ...]], zone: ZoneId, means: Mapping[ZoneId, float]
) -> dict[ZoneId, float]:
    """Return the means of the measured neighbours of a zone; where there are none, of those nearest by, if any."""
    seen = {zone}
    edge: tuple[ZoneId, ...] = (zone,)
    for _step in range(FARTHEST):
        edge = tuple(dict.fromkeys(ZoneId(n) for z in edge for n in neighbours[z] if n not in seen))
        seen.update(edge)
        found = {n: means[n] for n in edge if n in means}
        if found:
            return found
    return {}


def _unlike(mean: float, usual: float | None, middle: float, limit: float) -> Unlike | None:
    if usual is None:
        return None
    if mean - usual >= limit and mean - middle >= limit / 2:
        return Unlike.THICKER
    return Unlike.THINNER if usual - mean >= limit and middle - mean >= limit / 2 else None
