"""Adds events up to a state. Trusts the journal: the gate has judged every event before it was recorded."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import singledispatch

from bayapp.job.gate.changes import with_crew, with_work
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.bottle import shelf_after
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AlertAnswered,
    BaySetUp,
    BottleEvent,
    ClockStepped,
    CoatCovered,
    CoatUncovered,
    CrewChanged,
    EventBase,
    JobClosed,
    JobOpened,
    JobReopened,
    NoteWritten,
    RecipeSwapped,
    SetClosed,
    SoundChecked,
    StepFinished,
    StepStarted,
    StepUndone,
    TimeCorrected,
    TimeZoneChanged,
    WorkAdded,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.readings import Readings, corrected, with_reading
from bayapp.job.state.state import BayState, Correction, Covered, JobState, StepRun, ZoneState
from bayapp.job.waits.ladder_position import below, carried_through, ladder_position, next_places
from bayapp.job.waits.waits import Window, window_of

ZoneEvent = StepStarted | StepFinished | StepUndone | TimeCorrected | CoatCovered | CoatUncovered | SetClosed


def fold(events: Iterable[EventBase], state: BayState | None = None) -> BayState:
    """Return the state after these events, in order, starting from ``state`` or from nothing."""
    state = state or BayState()
    first, last = state.first_at, state.last_at
    for event in events:
        state = _apply(event, state)
        first = event.at if first is None else min(first, event.at)
        last = event.at if last is None else max(last, event.at)
    return replace(state, first_at=first, last_at=last)  # once, at the end: no rule of the fold asks for it


def apply(state: BayState, event: EventBase) -> BayState:
    """Return the state after one more event."""
    return fold((event,), state)


@singledispatch
def _apply(event: EventBase, state: BayState) -> BayState:
    raise TypeError(f"the fold has no rule for {type(event).__name__}")


@_apply.register
def _opened(event: JobOpened, state: BayState) -> BayState:
    job = event.opened
    fresh = JobState(job, {zone: ZoneState() for zone in job.block_of}, event.at, readings=state.readings)
    return replace(state, jobs={**state.jobs, job.id: fresh})


@_apply.register
def _closed(event: JobClosed, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, closed_at=event.at))


@_apply.register
def _reopened(event: JobReopened, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, closed_at=None, readings=state.readings))


@_apply.register
def _started(event: StepStarted, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _start(job, zone, event))


@_apply.register
def _finished(event: StepFinished, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _finish(zone, event))


@_apply.register
def _undone(event: StepUndone, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _take_back(zone))


@_apply.register
def _set_aside(event: ZoneSetAside, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, aside={**job.aside, event.zone: event.reason}))


@_apply.register
def _taken_up(event: ZoneTakenUp, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _take_up(job, event.zone))


@_apply.register
def _covered(event: CoatCovered, state: BayState) -> BayState:
    cover = Covered(event.at, event.by)
    return _with_zone(state, event, lambda job, zone: replace(zone, covered=cover, before=zone))


@_apply.register
def _uncovered(event: CoatUncovered, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: replace(zone, covered=None, before=zone))


@_apply.register
def _set_closed(event: SetClosed, state: BayState) -> BayState:
    return _with_zone(
        state, event, lambda job, zone: replace(zone, without=zone.without | set(event.without), before=zone)
    )


@_apply.register
def _work_added(event: WorkAdded, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _add_work(job, event))


@_apply.register
def _swapped(event: RecipeSwapped, state: BayState) -> BayState:
    return _with_job(
        state, event.job, lambda job: replace(job, job=with_work(job.job, (event.becomes,), event.products))
    )


@_apply.register
def _crew(event: CrewChanged, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, job=with_crew(job.job, event.crew)))


@_apply.register
def _corrected(event: TimeCorrected, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _correct(zone, event))


@_apply.register
def _noted(event: NoteWritten, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, notes=(*job.notes, event)))


@_apply.register
def _air(event: AirRead, state: BayState) -> BayState:
    return under_readings(state, with_reading(state.readings, event))


@_apply.register
def _air_corrected(event: AirCorrected, state: BayState) -> BayState:
    state = under_readings(state, corrected(state.readings, event))
    return replace(state, air_corrections=(*state.air_corrections, event))


@_apply.register
def _set_up(event: BaySetUp, state: BayState) -> BayState:
    return replace(state, set_up=event)


@_apply.register
def _answered(event: AlertAnswered, state: BayState) -> BayState:
    return replace(state, answers={**state.answers, **dict.fromkeys(event.subjects, event.until)})


@_apply.register
def _heard(event: SoundChecked, state: BayState) -> BayState:
    return replace(state, sound_checked_at=event.at, sound_heard=event.heard)


@_apply.register
def _clock(event: ClockStepped, state: BayState) -> BayState:
    return replace(state, clock_steps=(*state.clock_steps, event))


@_apply.register
def _time_zone(event: TimeZoneChanged, state: BayState) -> BayState:
    return replace(state, time_zone_changes=(*state.time_zone_changes, event))


@_apply.register
def _bottle(event: BottleEvent, state: BayState) -> BayState:
    return replace(state, shelf=shelf_after(state.shelf, event))


def under_readings(state: BayState, readings: Readings) -> BayState:
    """Return the state with other readings of the air; a closed job keeps those that it had."""
    jobs = {
        name: job if job.closed_at is not None else replace(job, readings=readings) for name, job in state.jobs.items()
    }
    return replace(state, jobs=jobs, readings=readings)


def _with_job(state: BayState, job: JobId | None, change: Callable[[JobState], JobState]) -> BayState:
    if job is None or job not in state.jobs:
        return state
    return replace(state, jobs={**state.jobs, job: change(state.jobs[job])})


def _with_zone(state: BayState, event: ZoneEvent, change: Callable[[JobState, ZoneState], ZoneState]) -> BayState:
    def changed(job: JobState) -> JobState:
        return replace(job, zones={**job.zones, event.zone: change(job, job.zones[event.zone])})

    return _with_job(state, event.job, changed)


def _start(job: JobState, zone: ZoneState, event: StepStarted) -> ZoneState:
    """Begin a run; whatever lapsed before it has its price taken off the ladder now, and is remembered.

    Where a person carries on through a lapse, that one and those that would have followed cost nothing.
    """
    ladder = ladder_position(job, event.zone, event.at)
    recipe = job.job.recipe_of(event.zone)
    rungs, lapses = ladder.rungs, ladder.lapses
    through = carried_through(recipe, ladder, event.step)
    if through is not None:
        rungs = ladder.stood[through]
        lapses = (*lapses[:through], replace(lapses[through], carried_on=True))
    rungs = below(recipe, rungs, recipe.group_of(recipe.position(event.step)).stop)
    run = StepRun(event.step, event.at, event.by, event.touch, event.implied, event.deviation, bottle=event.bottle)
    return ZoneState(zone.runs, rungs, run, zone.lapses + lapses, before=zone)


def _finish(zone: ZoneState, event: StepFinished) -> ZoneState:
    running = zone.running
    if running is None:
        return zone
    done = replace(running, finished_at=event.at, finished_by=event.by)
    before = zone.before if running.implied else zone
    return ZoneState((*zone.runs, done), (*zone.rungs, done), None, zone.lapses, before)


def _take_back(zone: ZoneState) -> ZoneState:
    """Return to the state before; where the same wait goes on running, so does what it does not count."""
    before = zone.before
    if before is None:
        return zone
    same_wait = before.running is zone.running is None and len(before.runs) == len(zone.runs)
    return replace(before, uncounted=zone.uncounted) if same_wait else before


def _take_up(job: JobState, zone: ZoneId) -> JobState:
    """Work a zone again; a wait that ran without it towards a latest moment neither stops nor moves for it."""
    again = replace(job, aside={z: reason for z, reason in job.aside.items() if z != zone})
    others = {z: s for z, s in job.zones.items() if z != zone and _would_move(job, again, z, s)}
    kept = {z: replace(s, uncounted=s.uncounted | {zone}) for z, s in others.items()}
    return replace(again, zones={**again.zones, **kept})


def _add_work(job: JobState, event: WorkAdded) -> JobState:
    fresh = {zone: ZoneState() for zone in event.block.zones}
    return replace(job, job=with_work(job.job, (event.block,), event.products), zones={**job.zones, **fresh})


def _would_move(before: JobState, after: JobState, zone: ZoneId, zone_state: ZoneState) -> bool:
    places = next_places(before.job.recipe_of(zone), zone_state.rungs)
    if zone_state.running or not places:
        return False
    window = window_of(before, zone, places[0], zone_state)
    runs_out = isinstance(window, Window) and window.lapses_at is not None
    return runs_out and window != window_of(after, zone, places[0], zone_state)


def _correct(zone: ZoneState, event: TimeCorrected) -> ZoneState:
    def mended(run: StepRun) -> StepRun:
        corrected = (*run.corrected, Correction(event.edge, event.was, event.becomes, event.at, event.by))
        if event.edge == "start":
            return replace(run, corrected=corrected, started_at=event.becomes)
        return replace(run, corrected=corrected, finished_at=event.becomes)

    def same(run: StepRun) -> bool:
        was = run.started_at if event.edge == "start" else run.finished_at
        return run.step == event.step and was == event.was

    def each(runs: tuple[StepRun, ...]) -> tuple[StepRun, ...]:
        return tuple(mended(run) if same(run) else run for run in runs)

    running = mended(zone.running) if zone.running and same(zone.running) else zone.running
    return replace(zone, runs=each(zone.runs), rungs=each(zone.rungs), running=running, before=zone)
