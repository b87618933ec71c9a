"""Open wipes that dust or water spoils: what is wiped and not yet coated is wiped again (common practice, no source).

The gate says with a start which wipes it spoils, so that a journal written before that was a rule reads as it did. An
undo of that start gives the wipes back, unless something was done on the zone since.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime

from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.events import StepStarted
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState, JobState, Lapse, SpoiltBy, ZoneState
from bayapp.job.waits.ladder_position import below, ladder_position, next_places

Spoilt = tuple[JobId, ZoneId]


def spoils(state: BayState, request: Start, at: datetime) -> tuple[Spoilt, ...]:
    """Return the zones whose open wipe this would spoil if it were begun now.

    Dust and water reach what shares their air; water on another car does not, where somebody has said so.
    """
    steps = [state.jobs[request.job].job.recipe_of(zone).named(request.step) for zone in request.zones]
    dust = any(step.makes_dust for step in steps)
    if not dust and not any(step.makes_wet for step in steps):
        return ()
    return tuple(
        (job.job.id, zone)
        for job in state.open_jobs
        if state.share_air(request.job, job.job.id)
        for zone in job.zones
        if (job.job.id != request.job or zone not in request.zones)
        and (dust or state.splash_answer(request.job, job.job.id, zone) is not True)
        and _is_open(job, zone, at)
    )


def _is_open(job: JobState, zone: ZoneId, at: datetime) -> bool:
    """Whether the last that was done on a zone is a wipe, and a coat comes next."""
    zone_state, recipe = job.zones[zone], job.job.recipe_of(zone)
    if zone_state.running or not zone_state.rungs or not _is_wipe(recipe, zone_state.rungs[-1].step):
        return False
    stands = ladder_position(job, zone, at)
    coats = any(recipe.step[place].kind is StepKind.COAT for place in stands.next_places)
    return coats and stands.rungs == zone_state.rungs


def _is_wipe(recipe: Recipe, step: StepId) -> bool:
    return recipe.named(step).kind is StepKind.WIPE


def spoilt(state: BayState, event: StepStarted) -> BayState:
    """Return the state with the wipes off the ladders that a start spoils."""
    if event.job is None:
        return state
    by = SpoiltBy(event.job, event.zone, event.step)

    def changed(job: JobState, zone: ZoneId) -> ZoneState:
        zone_state, recipe = job.zones[zone], job.job.recipe_of(zone)
        rungs = zone_state.rungs
        if not rungs or not _is_wipe(recipe, rungs[-1].step):  # another zone of the same touch has spoilt it already
            return zone_state
        wipe = rungs[-1].step
        coat = StepId(recipe.step[next_places(recipe, rungs)[0]].id)
        lapse = Lapse(coat, event.at, wipe, spoilt_by=by)
        return replace(
            zone_state,
            rungs=below(recipe, rungs, recipe.group_of(recipe.position(wipe)).start),
            lapses=(*zone_state.lapses, lapse),
        )

    return _with_zones(state, event.spoils, changed)


def given_back(state: BayState, undone_in: JobId | None) -> BayState:
    """Return the state with the wipes back that a start has spoilt which was undone on a car."""
    if undone_in is None or undone_in not in state.jobs:
        return state
    freed = [
        (job.job.id, zone)
        for job in state.open_jobs
        for zone in job.zones
        if (lapse := spoilt_wipe(job, zone)) and lapse.spoilt_by and lapse.spoilt_by.job == undone_in
        if not any(_is_of(lapse, run) for run in _runs(state.jobs[undone_in]))
    ]

    def changed(job: JobState, zone: ZoneId) -> ZoneState:
        zone_state = job.zones[zone]
        return replace(zone_state, rungs=(*zone_state.rungs, zone_state.runs[-1]), lapses=zone_state.lapses[:-1])

    return _with_zones(state, tuple(freed), changed)


def spoilt_wipe(job: JobState, zone: ZoneId) -> Lapse | None:
    """Return what spoilt the wipe of a zone, where nothing has been done on it since; else None."""
    zone_state = job.zones[zone]
    lapse = zone_state.lapses[-1] if zone_state.lapses else None
    if lapse is None or lapse.spoilt_by is None or zone_state.running or not zone_state.runs:
        return None
    last, recipe = zone_state.runs[-1], job.job.recipe_of(zone)
    if last.step != lapse.back_to or last.finished_at is None or last in zone_state.rungs:
        return None
    due = next_places(recipe, zone_state.rungs)
    return lapse if recipe.has(last.step) and recipe.position(last.step) in due else None


def _runs(job: JobState) -> Iterator[tuple[StepId, datetime]]:
    for zone_state in job.zones.values():
        yield from ((run.step, run.started_at) for run in zone_state.begun)


def _is_of(lapse: Lapse, run: tuple[StepId, datetime]) -> bool:
    return lapse.spoilt_by is not None and run == (lapse.spoilt_by.step, lapse.lapsed_at)


def _with_zones(
    state: BayState, zones: tuple[Spoilt, ...], change: Callable[[JobState, ZoneId], ZoneState]
) -> BayState:
    jobs = dict(state.jobs)
    for name, zone in zones:
        if name in jobs and zone in jobs[name].zones:
            job = jobs[name]
            jobs[name] = replace(job, zones={**job.zones, zone: change(job, zone)})
    return replace(state, jobs=jobs) if zones else state
