"""The solvent that the day's work has given to the air, as an average of the room.

An estimate from areas and product sheets by the well-mixed box: it cautions where it is high. Where it is low that
says nothing of the air in front of a face, so nothing here calls any air good.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.air.vapour import (
    HOUR_S,
    Room,
    VapourSource,
    air_changes_to_hold,
    average,
    level_at,
    mixture_share,
    purge_s,
    to_ppm,
)
from bayapp.job.gate.stock import ml_for
from bayapp.job.model.ids import PlaceId, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.model.product import Solvent
from bayapp.job.state.state import BayState, JobState, StepRun

SHORT = timedelta(minutes=15)
WORKING_DAY = timedelta(hours=8)
LOOK_BACK = timedelta(hours=24)
USUAL_AIR_C = 25.0


@dataclass(frozen=True, slots=True)
class Strength:
    """One solvent in the room, parts per million: now, over the last 15 minutes, and over a working day of 8 hours."""

    solvent: Solvent
    now_ppm: float
    short_ppm: float
    day_ppm: float


@dataclass(frozen=True, slots=True)
class Vapour:
    """What is in the air by the estimate.

    Attributes:
        now_share: all solvents now by their short-term limits, added up; above 1 it is too much.
        short_share, day_share: the same of 15 minutes and of the working day by their limits.
        wait: how long until what is there now has thinned out to the short-term limit, if nothing more evaporates;
            None where no fresh air comes.
        add_air_changes: how many more air changes an hour the solvent use of the last hour needs for the day's limit.
        used_ml: what has evaporated in the last hour.
    """

    room: Room
    strengths: tuple[Strength, ...]
    now_share: float
    short_share: float
    day_share: float
    wait: timedelta | None
    add_air_changes: float
    used_ml: float

    @property
    def too_much(self) -> bool:
        """Whether a limit is passed, by the estimate."""
        return max(self.now_share, self.short_share, self.day_share) > 1


def room_of(state: BayState, place: PlaceId | None = None) -> Room | None:
    """Return the room around a place; None outside, and while its volume or its air changes are not known.

    The shop says what all its bays hold together; where curtains divide them each holds an equal share.
    """
    said, bays = state.set_up, state.places.bays
    if said is None or said.volume_m3 is None or said.air_changes is None or place == OUTSIDE:
        return None
    share = len(state.places.around(place)) / len(bays) if bays else 1.0
    return Room(said.volume_m3 * share, said.air_changes, said.mixing_k)


def vapour(state: BayState, at: datetime, place: PlaceId | None = None) -> Vapour | None:
    """Return the estimate for the air of a place at an instant.

    None outside, and while the shop has not said how large its bay is and how it is aired.
    """
    room = room_of(state, place)
    if room is None:
        return None
    sources = _sources(state, at, place)
    read = state.air_at(place)
    air_c = read.air_c if read else USUAL_AIR_C

    def ppm(solvent: Solvent, milligrams_per_m3: float) -> float:
        return to_ppm(milligrams_per_m3, solvent.molar_mass_g, air_c)

    strengths = tuple(
        Strength(
            solvent,
            now_ppm=ppm(solvent, level_at(room, given, 0.0)),
            short_ppm=ppm(solvent, average(room, given, -SHORT.total_seconds(), 0.0)),
            day_ppm=ppm(solvent, average(room, given, -WORKING_DAY.total_seconds(), 0.0)),
        )
        for solvent, given in sources.items()
    )
    now_share = mixture_share((s.now_ppm, s.solvent.short_ppm) for s in strengths)
    wait = purge_s(room, now_share, 1.0)
    needed = sum(
        air_changes_to_hold(room, ppm(solvent, _last_hour(given) / HOUR_S), solvent.day_ppm)
        for solvent, given in sources.items()
    )
    return Vapour(
        room,
        strengths,
        now_share,
        short_share=mixture_share((s.short_ppm, s.solvent.short_ppm) for s in strengths),
        day_share=mixture_share((s.day_ppm, s.solvent.day_ppm) for s in strengths),
        wait=None if wait is None else timedelta(seconds=wait),
        add_air_changes=max(0.0, needed - room.air_changes),
        used_ml=sum(_last_hour(given) / solvent.density_g_per_ml / 1000 for solvent, given in sources.items()),
    )


def _last_hour(sources: list[VapourSource]) -> float:
    """Return what has evaporated in the hour before second 0, mg."""
    return sum(s.amount * _part(s, -HOUR_S, 0.0) for s in sources)


def _part(source: VapourSource, from_s: float, to_s: float) -> float:
    lasts = source.ends_s - source.begins_s
    if lasts <= 0:
        return 1.0 if from_s < source.begins_s <= to_s else 0.0
    return max(0.0, min(source.ends_s, to_s) - max(source.begins_s, from_s)) / lasts


def _sources(state: BayState, at: datetime, place: PlaceId | None) -> Mapping[Solvent, list[VapourSource]]:
    """Return what evaporated from each solvent around a place, mg over seconds before ``at``, which is second 0."""
    found: dict[Solvent, list[VapourSource]] = {}
    for job in state.jobs.values():
        for zone, run in _runs(job, at):
            step = job.job.recipe_of(zone).named(run.step)
            product = job.job.products.get(step.product or "")
            ml = ml_for(job.job, zone, step)
            if product is None or product.solvent is None or ml is None:
                continue
            if not state.places.same_air(job.place_at(run.started_at), place):
                continue
            milligrams = ml * product.solvent.share * product.solvent.density_g_per_ml * 1000
            begins = (run.started_at - at).total_seconds()
            planned = begins + step.minutes * 60
            ends = (run.finished_at - at).total_seconds() if run.finished_at else planned
            found.setdefault(product.solvent.pure, []).append(VapourSource(begins, ends, milligrams))
    return found


def _runs(job: JobState, at: datetime) -> Iterator[tuple[ZoneId, StepRun]]:
    """Yield the day's carryings-out with their zones; what was undone did not happen."""
    for zone, state in job.zones.items():
        for run in state.begun:
            if at - LOOK_BACK <= run.started_at <= at:
                yield zone, run
