"""Adds events up to a state. Trusts the journal: the gate has judged every event before it was recorded."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from functools import singledispatch

from bayapp.job.gate.changes import swapped_zone, with_crew, with_work
from bayapp.job.gate.spoilt_wipes import given_back, spoilt
from bayapp.job.model.ids import JobId, StepKind, ZoneId
from bayapp.job.model.mark import with_mark, without_mark
from bayapp.job.model.place import Places
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.state.bottle import shelf_after
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AlertAnswered,
    BaySetUp,
    BottleEvent,
    BrakesChecked,
    CarMoved,
    CarMoveUndone,
    ClockStepped,
    ClockSynchronised,
    CoatCovered,
    CoatUncovered,
    CrewChanged,
    EventBase,
    GotWet,
    IdentityGiven,
    JobClosed,
    JobOpened,
    JobReopened,
    MachineStarted,
    MarkLifted,
    MarkSet,
    NoteWritten,
    PhotoAdded,
    PhotoWithdrawn,
    PlacesSetUp,
    RecipeSwapped,
    SetClosed,
    SoundChecked,
    SplashAnswered,
    SpotSkipped,
    SpotTried,
    StayedLonger,
    StepFinished,
    StepStarted,
    StepUndone,
    ThicknessRead,
    ThicknessWithdrawn,
    TimeCorrected,
    TimePutRight,
    TimeZoneChanged,
    WorkAdded,
    ZonePassed,
    ZoneSentBack,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.machine_time import Anchor, MachineTime, Outage
from bayapp.job.state.readings import AirFound, HeldReadings, Readings, corrected, with_reading
from bayapp.job.state.state import (
    Aid,
    BayState,
    Correction,
    Covered,
    JobState,
    KeptPhoto,
    Passed,
    SplashAnswer,
    StepRun,
    ThicknessEntry,
    Wetting,
    ZoneState,
)
from bayapp.job.state.stays import Stay, readings_over
from bayapp.job.waits.ladder_position import below, carried_through, ladder_position, next_places, window_of
from bayapp.job.waits.waits import Window, turn_in_group, wait_of

ZoneEvent = (
    StepStarted
    | StepFinished
    | StepUndone
    | TimeCorrected
    | CoatCovered
    | CoatUncovered
    | SetClosed
    | ZoneSentBack
    | GotWet
    | ZonePassed
)

SETS_TIME = (MachineStarted, TimePutRight)
"""Entries from which the board's time goes on, wherever it was before."""


def fold(events: Iterable[EventBase], state: BayState | None = None) -> BayState:
    """Return the state after these events, in order, starting from ``state`` or from nothing."""
    state = state or BayState()
    first, last = state.first_at, state.last_at
    for event in events:
        state = _apply(event, state)
        first = event.at if first is None else min(first, event.at)
        last = event.at if last is None or isinstance(event, SETS_TIME) else max(last, event.at)
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
    stays = (Stay(event.at, event.place, state.places),)
    held = readings_over(stays, state.readings)
    zones, unsure = {zone: ZoneState() for zone in job.block_of}, state.machine.unsure_since
    fresh = JobState(
        job,
        zones,
        event.at,
        readings=held,
        stays=stays,
        unsure_since=unsure,
        marks=job.marks,
        set_up=state.set_up,
    )
    return replace(state, jobs={**state.jobs, job.id: fresh})


@_apply.register
def _closed(event: JobClosed, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, closed_at=event.at))


@_apply.register
def _reopened(event: JobReopened, state: BayState) -> BayState:
    def back(job: JobState) -> JobState:
        """Where the bays are others now, its own is gone, or it cured elsewhere, a new stay begins."""
        place = job.place if state.places.knows(job.place) else None
        same = place == job.place and bool(job.stays) and job.stays[-1].places.divides() == state.places.divides()
        same = same and not job.curing
        stays = job.stays if same else (*job.stays, Stay(event.at, place, state.places))
        return _standing(replace(job, closed_at=None, set_up=state.set_up), stays, state.readings)

    return _with_job(state, event.job, back)


@_apply.register
def _started(event: StepStarted, state: BayState) -> BayState:
    """Begin a run; one on a zone that held up no other, for a mark, stops no wait that runs towards a latest moment."""
    state = spoilt(state, event) if event.spoils else state

    def begun(job: JobState) -> JobState:
        after = replace(job, zones={**job.zones, event.zone: _start(job, job.zones[event.zone], event)})
        return _not_counting(job, after, event.zone, event.at) if event.zone in job.marks else after

    return _with_job(state, event.job, begun)


@_apply.register
def _finished(event: StepFinished, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _finish(zone, event))


@_apply.register
def _undone(event: StepUndone, state: BayState) -> BayState:
    state = _with_zone(state, event, lambda job, zone: _take_back(zone))
    return given_back(state, event.job)


@_apply.register
def _set_aside(event: ZoneSetAside, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, aside={**job.aside, event.zone: event.reason}))


@_apply.register
def _taken_up(event: ZoneTakenUp, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _take_up(job, event.zone, event.at))


@_apply.register
def _covered(event: CoatCovered, state: BayState) -> BayState:
    cover, aid = Covered(event.at, event.by), Aid("covered", event.at, event.by)
    return _with_zone(state, event, lambda job, zone: replace(zone, covered=cover, aid=aid, before=zone))


@_apply.register
def _uncovered(event: CoatUncovered, state: BayState) -> BayState:
    aid = Aid("uncovered", event.at, event.by)
    return _with_zone(state, event, lambda job, zone: replace(zone, covered=None, aid=aid, before=zone))


@_apply.register
def _set_closed(event: SetClosed, state: BayState) -> BayState:
    without, aid = frozenset(event.without), Aid("by-itself", event.at, event.by)
    return _with_zone(
        state, event, lambda job, zone: replace(zone, without=zone.without | without, aid=aid, before=zone)
    )


@_apply.register
def _sent_back(event: ZoneSentBack, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _send_back(job, zone, event))


@_apply.register
def _wet(event: GotWet, state: BayState) -> BayState:
    wet, aid = Wetting(event.wet_at, event.at, event.by), Aid("got-wet", event.at, event.by)
    return _with_zone(state, event, lambda job, zone: replace(zone, wet=wet, passed=None, aid=aid, before=zone))


@_apply.register
def _passed(event: ZonePassed, state: BayState) -> BayState:
    passed, aid = Passed(event.at, event.by), Aid("passed", event.at, event.by)
    return _with_zone(state, event, lambda job, zone: replace(zone, passed=passed, aid=aid, before=zone))


@_apply.register
def _marked(event: MarkSet, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, marks=with_mark(job.marks, event.zone, event.mark)))


@_apply.register
def _mark_lifted(event: MarkLifted, state: BayState) -> BayState:
    """Lift a mark; a wait that ran without the zone towards a latest moment neither stops nor moves for it."""

    def lifted(job: JobState) -> JobState:
        after = replace(job, marks=without_mark(job.marks, event.zone, event.mark))
        return _not_counting(job, after, event.zone, event.at) if event.zone in job.zones else after

    return _with_job(state, event.job, lifted)


@_apply.register
def _work_added(event: WorkAdded, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _add_work(job, event))


@_apply.register
def _swapped(event: RecipeSwapped, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _swap(job, event))


@_apply.register
def _crew(event: CrewChanged, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, job=with_crew(job.job, event.crew)))


@_apply.register
def _moved(event: CarMoved, state: BayState) -> BayState:
    def moved(job: JobState) -> JobState:
        stay = Stay(event.at, event.to, state.places, moved=True, curing=event.curing, spot=event.spot)
        return _standing(job, (*job.stays, stay), state.readings)

    return _with_job(state, event.job, moved)


@_apply.register
def _move_undone(event: CarMoveUndone, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _standing(job, job.stays[:-1] or job.stays, state.readings))


@_apply.register
def _splash(event: SplashAnswered, state: BayState) -> BayState:
    wet, dry = state.jobs.get(event.job) if event.job else None, state.jobs.get(event.of)
    if wet is None or dry is None:
        return state
    answer = SplashAnswer(event.out_of_reach, (wet.there_since, dry.there_since))
    said = {(wet.job.id, event.of, zone): answer for zone in event.zones}
    return replace(state, splash={**state.splash, **said})


@_apply.register
def _corrected(event: TimeCorrected, state: BayState) -> BayState:
    return _with_zone(state, event, lambda job, zone: _correct(zone, event))


@_apply.register
def _noted(event: NoteWritten, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, notes=(*job.notes, event)))


@_apply.register
def _thickness(event: ThicknessRead, state: BayState) -> BayState:
    def read(job: JobState) -> JobState:
        entries = (*job.thickness.get(event.zone, ()), ThicknessEntry(event))
        return replace(job, thickness={**job.thickness, event.zone: entries})

    return _with_job(state, event.job, read)


@_apply.register
def _thickness_withdrawn(event: ThicknessWithdrawn, state: BayState) -> BayState:
    def withdrawn(job: JobState) -> JobState:
        entries = list(job.thickness[event.zone])
        entries[event.number - 1] = replace(entries[event.number - 1], withdrawn=event)
        return replace(job, thickness={**job.thickness, event.zone: tuple(entries)})

    return _with_job(state, event.job, withdrawn)


@_apply.register
def _photo(event: PhotoAdded, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, photos=(*job.photos, KeptPhoto(event))))


@_apply.register
def _photo_withdrawn(event: PhotoWithdrawn, state: BayState) -> BayState:
    def meant(photo: KeptPhoto) -> bool:
        return photo.counts and (photo.added.zone, photo.added.sha256) == (event.zone, event.sha256)

    def withdrawn(job: JobState) -> JobState:
        photos = (replace(photo, withdrawn=event) if meant(photo) else photo for photo in job.photos)
        return replace(job, photos=tuple(photos))

    return _with_job(state, event.job, withdrawn)


@_apply.register
def _identity(event: IdentityGiven, state: BayState) -> BayState:
    """Keep what was said last; the job knows its plate, and what it has worked out of its blocks stays."""

    def named(job: JobState) -> JobState:
        known = job.job.model_copy(update={"plate": event.identity.plate})
        return replace(job, identity=event.identity, job=known)

    return _with_job(state, event.job, named)


@_apply.register
def _brakes(event: BrakesChecked, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: replace(job, brakes=event.check))


@_apply.register
def _spot(event: SpotTried, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _with_spot(job, event.combination, event.card))


@_apply.register
def _no_spot(event: SpotSkipped, state: BayState) -> BayState:
    return _with_job(state, event.job, lambda job: _with_spot(job, event.combination, None))


def _with_spot(job: JobState, combination: str, card: SpotCard | None) -> JobState:
    return replace(job, spots={**job.spots, combination: (*job.spots.get(combination, ()), card)})


@_apply.register
def _air(event: AirRead, state: BayState) -> BayState:
    return under_readings(state, with_reading(state.readings, event))


@_apply.register
def _air_corrected(event: AirCorrected, state: BayState) -> BayState:
    state = under_readings(state, corrected(state.readings, event))
    return replace(state, air_corrections=(*state.air_corrections, event))


@_apply.register
def _stayed(event: StayedLonger, state: BayState) -> BayState:
    return replace(state, stays_until=event.until)


@_apply.register
def _set_up(event: BaySetUp, state: BayState) -> BayState:
    jobs = {name: job if job.closed_at is not None else replace(job, set_up=event) for name, job in state.jobs.items()}
    return replace(state, set_up=event, jobs=jobs)


@_apply.register
def _places(event: PlacesSetUp, state: BayState) -> BayState:
    """Name the bays; where a curtain or a bay came or went, each car begins a new stay where it stands."""
    names = {**state.places.names, **{bay.id: bay.name for bay in event.bays}}
    becomes = Places(event.bays, event.sensors, names)
    moved = becomes.divides() != state.places.divides()
    state = replace(state, places=becomes)
    if not moved:
        return state

    def divided(job: JobState) -> JobState:
        stay = Stay(event.at, job.place, becomes, curing=job.curing, spot=job.spot)
        return _standing(job, (*job.stays, stay), state.readings)

    jobs = {name: job if job.closed_at is not None else divided(job) for name, job in state.jobs.items()}
    return replace(state, jobs=jobs)


@_apply.register
def _answered(event: AlertAnswered, state: BayState) -> BayState:
    return replace(state, answers={**state.answers, **dict.fromkeys(event.subjects, event.until)})


@_apply.register
def _heard(event: SoundChecked, state: BayState) -> BayState:
    return replace(state, sound_checked_at=event.at, sound_heard=event.heard)


@_apply.register
def _clock(event: ClockStepped, state: BayState) -> BayState:
    """Keep a jump; before starts of the machine were entries, one that was not settled asked what they ask now."""
    asked = Outage(event.at, event.at, timedelta(), timedelta(), "asked")
    known = state.machine
    outages = tuple(_told(outage) for outage in known.outages) if event.settled else (*known.outages, asked)
    return replace(_with_machine(state, replace(known, outages=outages)), clock_steps=(*state.clock_steps, event))


@_apply.register
def _started_machine(event: MachineStarted, state: BayState) -> BayState:
    known = state.machine
    at_least, offset = (timedelta(milliseconds=ms) for ms in (event.on_ms, event.offset_ms))
    outage = Outage(event.off_since, event.at, at_least, offset, event.length)
    return _with_machine(state, replace(known, outages=(*known.outages, outage)))


@_apply.register
def _synchronised(event: ClockSynchronised, state: BayState) -> BayState:
    known = state.machine
    return replace(state, machine=replace(known, anchors=(*known.anchors, Anchor(event.at, event.utc))))


@_apply.register
def _put_right(event: TimePutRight, state: BayState) -> BayState:
    """Take what is known of outages by now; what it shifts was shifted when the entries before it were read."""
    lengths = {outage.until: outage.length for outage in event.outages}
    known = state.machine
    outages = tuple(replace(o, length=lengths.get(o.until, o.length)) for o in known.outages)
    state = _with_machine(state, replace(known, outages=outages))
    return replace(state, times_put_right=(*state.times_put_right, event))


def _told(outage: Outage) -> Outage:
    return replace(outage, length="told") if outage.length == "asked" else outage


def _with_machine(state: BayState, known: MachineTime) -> BayState:
    """Return the state with what is known of the machine's time; its waits count by that, too."""
    if known.unsure_since == state.machine.unsure_since:
        return replace(state, machine=known)
    jobs = {name: replace(job, unsure_since=known.unsure_since) for name, job in state.jobs.items()}
    return replace(state, machine=known, jobs=jobs)


@_apply.register
def _time_zone(event: TimeZoneChanged, state: BayState) -> BayState:
    """Show times in another zone from here on; what the shop counts by days begins at another midnight."""
    state = replace(state, time_zone_changes=(*state.time_zone_changes, event))
    return _set_up(state.set_up.model_copy(update={"time_zone": event.becomes}), state) if state.set_up else state


@_apply.register
def _bottle(event: BottleEvent, state: BayState) -> BayState:
    return replace(state, shelf=shelf_after(state.shelf, event))


def under_readings(state: BayState, readings: Readings) -> BayState:
    """Return the state with other readings of the air; a closed job keeps those that it had."""
    newest = readings[-1] if readings and readings[:-1] == state.readings else None
    longer: dict[int, HeldReadings] = {id(state.readings): readings}  # one tuple for cars side by side: waits keep it

    def read(job: JobState) -> JobState:
        now = job.stays[-1] if job.stays else None
        if now is None or newest is None or newest.measured_at <= now.since:
            return replace(job, readings=readings_over(job.stays, readings) if job.stays else readings)
        if not now.counts(newest):
            return job
        return replace(job, readings=longer.setdefault(id(job.readings), (*job.readings, newest)))

    jobs = {name: job if job.closed_at is not None else read(job) for name, job in state.jobs.items()}
    return replace(state, jobs=jobs, readings=readings)


def _standing(job: JobState, stays: tuple[Stay, ...], readings: Readings) -> JobState:
    return replace(job, stays=stays, readings=readings_over(stays, readings))


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
    recipe = job.job.recipe_of(event.zone)
    ladder = ladder_position(job, event.zone, event.at).for_step(recipe.position(event.step))
    rungs, lapses = ladder.rungs, ladder.lapses
    through = carried_through(recipe, ladder, event.step)
    if through is not None:
        rungs = ladder.stood[through]
        lapses = (*lapses[:through], replace(lapses[through], carried_on=True))
    rungs = below(recipe, rungs, recipe.group_of(recipe.position(event.step)).stop)
    air = job.readings[-1] if job.readings and recipe.named(event.step).kind is StepKind.COAT else None
    run = StepRun(
        event.step,
        event.at,
        event.by,
        event.touch,
        event.implied,
        event.deviation,
        bottle=event.bottle,
        laid_on=air.reading if isinstance(air, AirFound) else air if isinstance(air, AirRead) else None,
    )
    wet = zone.wet if zone.may_have_spots and recipe.named(event.step).kind is not StepKind.POLISH else None
    return ZoneState(zone.runs, rungs, run, zone.lapses + lapses, before=zone, wet=wet)


def _send_back(job: JobState, zone: ZoneState, event: ZoneSentBack) -> ZoneState:
    """Take the rungs from a step on off the ladder; what lapsed before is remembered, and a cover stays on a coat."""
    recipe = job.job.recipe_of(event.zone)
    ladder = ladder_position(job, event.zone, event.at)
    rungs = below(recipe, ladder.rungs, recipe.group_of(recipe.position(event.step)).start)
    aid, lapses = Aid("sent-back", event.at, event.by), zone.lapses + ladder.lapses
    coated = any(recipe.named(run.step).kind is StepKind.COAT for run in rungs)
    covered = zone.covered if coated else None
    wet = zone.wet if zone.may_have_spots else None
    return ZoneState(zone.runs, rungs, None, lapses, before=zone, aid=aid, covered=covered, wet=wet)


def _finish(zone: ZoneState, event: StepFinished) -> ZoneState:
    running = zone.running
    if running is None:
        return zone
    done = replace(running, finished_at=event.at, finished_by=event.by)
    before = zone.before if running.implied else zone
    return ZoneState((*zone.runs, done), (*zone.rungs, done), None, zone.lapses, before, wet=zone.wet)


def _take_back(zone: ZoneState) -> ZoneState:
    """Return to the state before; where the same wait goes on running, so does what it does not count."""
    before = zone.before
    if before is None:
        return zone
    same_wait = before.running is zone.running is None and len(before.runs) == len(zone.runs)
    return replace(before, uncounted=zone.uncounted) if same_wait else before


def _take_up(job: JobState, zone: ZoneId, at: datetime) -> JobState:
    """Work a zone again; a wait that ran without it towards a latest moment neither stops nor moves for it."""
    again = replace(job, aside={z: reason for z, reason in job.aside.items() if z != zone})
    return _not_counting(job, again, zone, at)


def _not_counting(before: JobState, after: JobState, zone: ZoneId, at: datetime) -> JobState:
    """Return the job after a change to a zone, which the waits then do not count that it would stop or move."""
    others = {z: s for z, s in before.zones.items() if z != zone and _would_move(before, after, z, s, at)}
    kept = {z: replace(s, uncounted=s.uncounted | {zone}) for z, s in others.items()}
    return replace(after, zones={**after.zones, **kept})


def _add_work(job: JobState, event: WorkAdded) -> JobState:
    fresh = {zone: ZoneState() for zone in event.block.zones}
    return replace(job, job=with_work(job.job, (event.block,), event.products), zones={**job.zones, **fresh})


def _swap(job: JobState, event: RecipeSwapped) -> JobState:
    recipe = event.becomes.recipe
    swapped = {zone: swapped_zone(job, zone, recipe, event.at) for zone in event.becomes.zones}
    return replace(job, job=with_work(job.job, (event.becomes,), event.products), zones={**job.zones, **swapped})


def _would_move(before: JobState, after: JobState, zone: ZoneId, zone_state: ZoneState, at: datetime) -> bool:
    recipe = before.job.recipe_of(zone)
    places = next_places(recipe, zone_state.rungs)
    if zone_state.running or not places:
        return False
    wait = wait_of(recipe, turn_in_group(recipe, places[0], zone_state.rungs), places[0])
    if wait is None or not wait.can_lapse:
        return False
    window = window_of(before, zone, places[0], zone_state, at)
    runs_out = isinstance(window, Window) and window.lapses_at is not None
    return runs_out and window != window_of(after, zone, places[0], zone_state, at)


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
    return replace(zone, runs=each(zone.runs), rungs=each(zone.rungs), running=running, aid=None, before=zone)
