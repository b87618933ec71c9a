"""Derives from the clocks which alerts are true at an instant."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from bayapp.job.clocks import ZoneClock, handover_at
from bayapp.job.doubted_coats import DoubtedCoat, doubted_coats, doubted_text
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.naming import capital, of_car, step_title, zones_title
from bayapp.job.waits.cure import cure_of
from bayapp.text.language import _


def conditions(state: BayState, clocks: Iterable[ZoneClock], at: datetime) -> tuple[Condition, ...]:
    """Return every condition that is true at ``at`` and that a person should be called for.

    Zones of one work block that wait for the same step and the same instant are one condition: one call and one
    answer, which stands for those that remain when some of them are begun.
    """
    found = _one_per_subject(c for group in _side_by_side(state, clocks) if (c := _of_wait(state, group, at)))
    cars = len(state.open_jobs)
    for job in state.open_jobs:
        found += (_at_spot(job, called) for called in (*_of_cure(job, at, cars), *_of_water(job, cars)))
    found += _of_coats(state)
    found += _of_clock(state)
    return tuple(found)


def _side_by_side(state: BayState, clocks: Iterable[ZoneClock]) -> list[list[ZoneClock]]:
    groups: dict[tuple[object, ...], list[ZoneClock]] = {}
    for clock in clocks:
        instants = (clock.since, clock.opens_at, clock.closing_from, clock.lapses_at)
        key = (clock.job, _block(state, clock), clock.step, clock.urgency, clock.held, clock.lapses, *instants)
        groups.setdefault(key, []).append(clock)
    return list(groups.values())


def _block(state: BayState, clock: ZoneClock) -> ZoneId:
    """Identify a work block by its first zone."""
    return state.jobs[clock.job].job.block_of[clock.zone].zones[0]


def _one_per_subject(conditions: Iterable[Condition]) -> list[Condition]:
    """Join what is one wait although its zones are in different states, such as one under way and one levelling."""
    subjects: dict[str, list[Condition]] = {}
    for condition in conditions:
        subjects.setdefault(condition.subject, []).append(condition)
    return [_joined(parts) for parts in subjects.values()]


def _joined(parts: Sequence[Condition]) -> Condition:
    """Return the furthest stage, with the words and the zones of all, the furthest first."""
    parts = sorted(parts, key=lambda part: (-part.kind.row.stage, part.since))
    labels = dict.fromkeys(part.label for part in parts)
    return replace(parts[0], label="; ".join(labels), zones=tuple(zone for part in parts for zone in part.zones))


def _of_wait(state: BayState, group: list[ZoneClock], at: datetime) -> Condition | None:
    """Return what a running wait calls for; a step that could be done all along is nothing to call for."""
    clock = group[0]
    kind, since = _kind(clock, at)
    if kind is None or since is None or clock.step is None:
        return None
    job = state.jobs[clock.job].job
    zones = tuple(c.zone for c in group)
    step = _asked_for(job.recipe_of(zones[0]), clock, clock.step)
    title = step_title(job.recipe_of(zones[0]), step)
    label = capital(_(kind.row.sentence).format(zones=zones_title(job, zones), step=title))
    if clock.lapses and not clock.held:
        label = _("{missed}; back to {step}").format(missed=label, step=step_title(job.recipe_of(zones[0]), clock.step))
    label = of_car(job, label, len(state.open_jobs))
    anchor = clock.anchor or clock.lapses_at or clock.since  # changing air moves a lapse
    subject = f"{clock.job}/{_block(state, clock)}/{step}/{anchor.isoformat() if anchor else ''}"
    return Condition(kind, subject, f"{clock.job}/{step}", label, since, clock.lapses_at, clock.job, zones)


def _asked_for(recipe: Recipe, clock: ZoneClock, step: StepId) -> StepId:
    """Return the step whose moment this is: the one missed, or the one after a step that is under way."""
    if clock.lapses:
        return clock.lapses[0].step
    return StepId(recipe.step[recipe.position(step) + 1].id) if clock.running else step


def _kind(clock: ZoneClock, at: datetime) -> tuple[AlertKind | None, datetime | None]:
    if clock.running:
        return _levelling(clock, at)
    if clock.urgency is Urgency.LAPSED:
        return AlertKind.LAPSED, clock.lapses_at
    if clock.urgency is Urgency.CLOSING:
        return AlertKind.CLOSING, clock.closing_from
    if clock.urgency is Urgency.OPEN and clock.opens_at != clock.since:
        return AlertKind.OPENED, clock.opens_at
    return None, None


def _levelling(clock: ZoneClock, at: datetime) -> tuple[AlertKind | None, datetime | None]:
    """A step under way whose successor's latest moment already runs."""
    if clock.lapses_at is None or clock.closing_from is None or at < clock.closing_from:
        return None, None
    return (AlertKind.CLOSING, clock.closing_from) if at <= clock.lapses_at else (AlertKind.LAPSED, clock.lapses_at)


def _of_cure(job: JobState, at: datetime, cars: int) -> list[Condition]:
    """Return what the finished zones call for: dry long enough, and the car ready to hand over."""
    from_when = handover_at(job)
    if from_when is None or at < from_when:
        return _cured(job, at, cars)
    key = f"{job.job.id}/handover"
    label = _(AlertKind.HANDOVER.row.sentence).format(title=job.job.name)
    return [Condition(AlertKind.HANDOVER, f"{key}/{from_when.isoformat()}", key, label, from_when, job=job.job.id)]


def _cured(job: JobState, at: datetime, cars: int) -> list[Condition]:
    groups: dict[datetime, list[ZoneId]] = {}
    kept_dry: set[datetime] = set()
    for zone in job.zones:
        cure = cure_of(job, zone)
        if cure and cure.until > cure.finished_at and cure.until <= at:
            groups.setdefault(cure.until, []).append(zone)
            if cure.dry_until:
                kept_dry.add(cure.until)
    wet, driven = _(AlertKind.CURED.row.sentence), _("{zones}: may be driven")
    return [
        Condition(
            AlertKind.CURED,
            f"{job.job.id}/cured/{until.isoformat()}",
            f"{job.job.id}/cured",
            of_car(
                job.job, capital((wet if until in kept_dry else driven).format(zones=zones_title(job.job, zones))), cars
            ),
            until,
            job=job.job.id,
            zones=tuple(zones),
        )
        for until, zones in groups.items()
    ]


def _at_spot(job: JobState, called: Condition) -> Condition:
    """Return a call that says where the car cures, where it was moved out."""
    if not (job.curing and job.spot):
        return called
    return replace(called, label=_("{label} ({spot})").format(label=called.label, spot=job.spot))


def _of_water(job: JobState, cars: int) -> list[Condition]:
    """Water that came on a coat calls for a look at it; all that got wet at once is one call."""
    groups: dict[datetime, list[ZoneId]] = {}
    told: dict[datetime, datetime] = {}
    for zone, state in job.zones.items():
        if state.may_have_spots and state.wet:
            groups.setdefault(state.wet.at, []).append(zone)
            told[state.wet.at] = max(told.get(state.wet.at, state.wet.told_at), state.wet.told_at)
    words, key = _("{zones} got wet; look for water spots"), f"{job.job.id}/wet"
    return [
        Condition(
            AlertKind.ATTENTION,
            f"{key}/{wet_at.isoformat()}/{told[wet_at].isoformat()}",
            key,
            of_car(job.job, capital(words.format(zones=zones_title(job.job, zones))), cars),
            told[wet_at],
            job=job.job.id,
            zones=tuple(zones),
        )
        for wet_at, zones in groups.items()
    ]


def _of_coats(state: BayState) -> list[Condition]:
    """A coat laid on a reading that is another now needs a look; each further correction calls anew."""
    alike: dict[tuple[object, ...], list[DoubtedCoat]] = {}
    for coat in doubted_coats(state):
        alike.setdefault((coat.job, coat.run.step, coat.was.at, coat.was.source), []).append(coat)
    found = []
    for coats in alike.values():
        first, zones = coats[0], tuple(coat.zone for coat in coats)
        job = state.jobs[first.job]
        label = of_car(job.job, doubted_text(job, zones, first), len(state.open_jobs))
        key = f"{first.job}/{first.run.step}/air"
        subject = f"{key}/{first.was.at.isoformat()}/{first.was.source}/{first.times}"
        found.append(
            Condition(AlertKind.ATTENTION, subject, key, label, first.corrected_at, job=first.job, zones=zones)
        )
    return found


def _of_clock(state: BayState) -> list[Condition]:
    """An outage of which nobody knows how long it was needs a person."""
    if not state.machine.asked:
        return []
    outage = state.machine.asked[0]
    label = _("Is the clock right? This machine was off")
    return [Condition(AlertKind.ATTENTION, f"clock/{outage.until.isoformat()}", "clock", label, outage.until)]
