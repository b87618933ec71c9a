"""The look of each zone: surface, clock and time, one face for each."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from bayapp.job import JobState, ZoneClock
from bayapp.job.model.ids import Motion, Stage, Urgency, ZoneId
from bayapp.job.model.mark import Mark
from bayapp.job.text.naming import elapsed_text, late_text, left_text


@dataclass(frozen=True, slots=True)
class Face:
    """How one zone is to be drawn.

    Attributes:
        planned: how many coats there will be.
        fraction: how much of the wait or the window is left, 1 down to 0.
        time_text: the zone's time, empty where it has none.
        show_time: whether this zone shows the time for all zones that share its clock.
        worked: whether the zone is part of the job at all.
        aside: whether it is out of today's work: set aside, or marked so that nothing is left to do.
        marks: what is known of it from arrival.
        covered: whether a cover is over its coat.
    """

    name: str
    stage: Stage = Stage.UNTOUCHED
    layers: tuple[Motion, ...] = ()
    planned: int = 0
    urgency: Urgency = Urgency.IDLE
    fraction: float = 0.0
    time_text: str = ""
    show_time: bool = False
    worked: bool = False
    selected: bool = False
    next_up: bool = False
    aside: bool = False
    covered: bool = False
    marks: tuple[Mark, ...] = ()


def time_of(clock: ZoneClock, at: datetime) -> str:
    """Return the time of a clock: until it opens or lapses, since it began, or since it lapsed."""
    if clock.urgency is Urgency.LAPSED and clock.lapses_at:
        return late_text(at - clock.lapses_at)
    if clock.urgency is Urgency.WAITING and clock.opens_at:
        return left_text(clock.opens_at - at)
    if clock.urgency in (Urgency.OPEN, Urgency.CLOSING) and clock.lapses_at:
        return left_text(clock.lapses_at - at)
    if clock.running:
        return elapsed_text(at - clock.running.started_at)
    return ""


def same_clock(clocks: Iterable[ZoneClock]) -> list[tuple[ZoneClock, ...]]:
    """Group equal clocks: same job, step, state and moments."""
    groups: dict[tuple[object, ...], list[ZoneClock]] = {}
    for clock in clocks:
        run = clock.running
        key = (
            clock.job,
            clock.step,
            clock.urgency,
            clock.since,
            clock.opens_at,
            clock.lapses_at,
            clock.cure,
            clock.covered is not None,
            (run.started_at, run.by) if run else None,
        )
        groups.setdefault(key, []).append(clock)
    return [tuple(group) for group in groups.values()]


def faces(
    car: JobState,
    clocks: Collection[ZoneClock],
    at: datetime,
    selected: Collection[ZoneId] = (),
    next_up: Collection[ZoneId] = (),
) -> dict[ZoneId, Face]:
    """Return the face of every zone of the car's form, worked or not."""
    job, marks = car.job, car.marks
    mine = [clock for clock in clocks if clock.job == job.id]
    carriers = {group[len(group) // 2].zone for group in same_clock(mine)}
    by_zone = {clock.zone: clock for clock in mine}
    names = {ZoneId(z.id): z.short or z.name for z in job.vehicle.zone}
    found = {}
    for zone, name in names.items():
        clock = by_zone.get(zone)
        if clock is None:
            found[zone] = Face(name, selected=zone in selected, marks=marks.get(zone, ()))
            continue
        found[zone] = Face(
            name,
            clock.stage,
            clock.layers,
            job.recipe_of(zone).layers,
            clock.urgency,
            round(clock.fraction_left(at), 3),
            time_of(clock, at),
            zone in carriers,
            worked=True,
            selected=zone in selected,
            next_up=zone in next_up,
            aside=clock.out,
            covered=clock.covered is not None,
            marks=marks.get(zone, ()),
        )
    return found
