"""Derives one job's day record from the journal."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from bayapp.job.clocks import ZoneClock, handover_at, zone_clock
from bayapp.job.doubted_coats import DoubtedCoat, doubted_coats, doubted_text
from bayapp.job.gate.fold import fold
from bayapp.job.gate.mark_rules import forbidden_by
from bayapp.job.gate.setting_aside import awaited
from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import (
    AirRead,
    CoatCovered,
    CoatUncovered,
    Event,
    GotWet,
    JobOpened,
    NoteWritten,
    SetClosed,
    StepFinished,
    StepStarted,
    TimeCorrected,
    ZonePassed,
    ZoneSentBack,
)
from bayapp.job.state.state import BayState, JobState, Lapse, StepRun
from bayapp.job.text.naming import of_car, place_title, step_title
from bayapp.job.text.sentences import why_not
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.report.facts.air_corrections import air_changes, read_as
from bayapp.report.facts.air_values import AirReading
from bayapp.report.facts.arrival_facts import photo_records, thickness_records
from bayapp.report.facts.barred import Barred, barred_by_the_bay
from bayapp.report.facts.covers import alone_records, cover_records
from bayapp.report.facts.day_record import (
    BottleRecord,
    BrakeRecord,
    ClockJumpRecord,
    CorrectedTime,
    DayRecord,
    DeviationRecord,
    DoubtedRecord,
    JobChange,
    LapseRecord,
    NoteRecord,
    OutageRecord,
    PutRightRecord,
    StepRecord,
    TakenBack,
    TakenBackKind,
    WaitKept,
    ZoneRecord,
)
from bayapp.report.facts.deviations import deviation_records
from bayapp.report.facts.identity_facts import identity_corrections, identity_record
from bayapp.report.facts.job_changes import job_changes, looks_and_water, spots_tried
from bayapp.report.facts.mark_facts import mark_records
from bayapp.report.facts.places_stood import places_stood
from bayapp.report.facts.recipes_over_time import RecipesOverTime
from bayapp.report.facts.sensor_trust import distrusted
from bayapp.report.facts.waits_kept import RunKey, waits_kept
from bayapp.report.facts.work_history import Act, Aid, Held, Undoing, work_history
from bayapp.report.facts.work_left import cure_record, rungs_at, work_left
from bayapp.report.facts.zones_aside import aside_records


@dataclass(frozen=True, slots=True)
class _Day:
    """One local day as a stretch of real time, and what the journal knew of the job by ``seen_at``."""

    date: date
    begins: datetime
    ends: datetime
    printed_at: datetime
    seen_at: datetime
    known: Sequence[Event]
    state: BayState
    job: JobState
    acts: Sequence[Held]
    undoings: Sequence[Undoing]
    recipes: RecipesOverTime
    waits: Mapping[RunKey, WaitKept]
    deviations: Sequence[DeviationRecord]
    readings: tuple[AirReading, ...]
    barred: Barred
    tz: tzinfo

    def has(self, moment: datetime) -> bool:
        return self.begins <= moment < self.ends


def day_record(events: Sequence[Event], job_id: JobId, day: date, at: datetime, tz: tzinfo) -> DayRecord:
    """Return the record of one job's local day, as it stood at ``at`` or, when the day is over, at its end.

    Args:
        events: the whole journal, in its order; what came after the moment looked at is left out.
        at: when the record is asked for, aware.

    Raises:
        LookupError: the journal had not opened such a job by then.
    """
    begins, ends = _bounds(day, tz)
    known = [event for event in events if event.at <= at and event.at < ends]
    opened = next((e for e in known if isinstance(e, JobOpened) and e.opened.id == job_id), None)
    if opened is None:
        raise LookupError(job_id)
    history = work_history(known, job_id)
    state = fold(event for event in known if event.job in (None, job_id))
    return _record(
        _Day(
            date=day,
            begins=begins,
            ends=ends,
            printed_at=at,
            seen_at=min(at, ends),
            known=known,
            state=state,
            job=state.jobs[job_id],
            acts=history.acts,
            undoings=history.undoings,
            recipes=RecipesOverTime(known, job_id),
            waits=waits_kept(opened, history.acts, state.readings, state.jobs[job_id].stays),
            deviations=deviation_records(known, job_id, history.undoings, tz),
            readings=tuple(read_as(r) for r in state.readings if _around(state, state.jobs[job_id], r)),
            barred=barred_by_the_bay(known, job_id, min(at, ends), tz),
            tz=tz,
        )
    )


def _record(view: _Day) -> DayRecord:
    job, known = view.job.job, view.known
    zones = tuple(_zone(view, zone) for zone in view.job.zones)
    return DayRecord(
        job=job.id,
        title=job.title,
        vehicle=job.vehicle.title,
        identity=identity_record(view.job.identity),
        crew=job.crew,
        start=job.start,
        opened_at=view.job.opened_at,
        closed_at=view.job.closed_at,
        day=view.date,
        printed_at=view.printed_at,
        seen_at=view.seen_at,
        entries=len(known),
        zones=zones,
        deviations=tuple(d for d in view.deviations if view.has(d.at)),
        doubted=tuple(_doubted(view)),
        lapses=tuple(la for zone in view.job.zones for la in _lapses(view, zone)),
        marks=tuple(
            mark
            for mark in mark_records(known, view.job, view.seen_at, view.tz)
            if mark.lifted_at is None or mark.lifted_at >= view.begins
        ),
        aside=tuple(
            aside
            for aside in aside_records(known, job)
            if aside.at < view.ends and (aside.taken_up_at is None or aside.taken_up_at >= view.begins)
        ),
        covers=tuple(
            cover
            for cover in cover_records(view.acts, job)
            if cover.at < view.ends and (cover.off_at is None or cover.off_at >= view.begins)
        ),
        alone=tuple(alone for alone in alone_records(view.acts, job) if view.has(alone.at)),
        changes=tuple(change for change in _changes(view, known) if view.has(change.at)),
        identity_corrections=tuple(c for c in identity_corrections(known, job.id) if view.has(c.at)),
        taken_back=tuple(_taken_back(job, u) for u in view.undoings if view.has(u.undo.at)),
        corrections=tuple(_corrections(view, known)),
        notes=tuple(NoteRecord(n.at, n.by, _name(job, n.zone), n.text) for n in _on_day(view, view.job.notes)),
        thickness=tuple(thickness_records(view.state, view.job)),
        photos=tuple(photo_records(view.job)),
        readings=tuple(r for r in view.readings if view.has(r.at)),
        air_changes=tuple(air_changes(known, job.id, view.begins, view.ends)),
        distrusted=tuple(d for d in distrusted(known) if d.at < view.ends and d.until > view.begins),
        clock_jumps=tuple(_clock_jumps(view)),
        outages=tuple(
            OutageRecord(o.since, o.until, o.length)
            for o in view.state.machine.outages
            if o.length != "unasked" and o.until > view.job.opened_at and o.since < view.ends and o.until >= view.begins
        ),
        times_put_right=tuple(_times_put_right(view)),
        handover_at=handover_at(view.job),
        brakes=BrakeRecord(**dict(view.job.brakes)),
        not_done=tuple(zone.name for zone in zones if zone.zone in awaited(view.job) and _holds_up(view.job, zone)),
        cautions=_cautions(job),
    )


def _holds_up(job: JobState, zone: ZoneRecord) -> bool:
    """Whether there is no handover for a zone: it is not done, or may have water spots that nobody has looked for."""
    return zone.cure is None or job.zones[zone.zone].may_have_spots


def _clock_jumps(view: _Day) -> Iterable[ClockJumpRecord]:
    for step in view.state.clock_steps:
        if view.has(step.at):
            yield ClockJumpRecord(step.at, timedelta(milliseconds=step.by_ms), step.settled)


def _times_put_right(view: _Day) -> Iterable[PutRightRecord]:
    for right in view.state.times_put_right:
        if view.has(right.at) and right.at >= view.job.opened_at:
            moved = sum(shift.by_ms for shift in right.shifts)
            yield PutRightRecord(right.at, right.by, timedelta(milliseconds=moved), right.answer)


def _bounds(day: date, tz: tzinfo) -> tuple[datetime, datetime]:
    """Return the first moment of the local day and of the next; 23 or 25 hours apart when the clocks change."""
    midnights = (datetime.combine(d, time.min, tz) for d in (day, day + timedelta(days=1)))
    begins, ends = (moment.astimezone(UTC) for moment in midnights)
    return begins, ends


def _on_day(view: _Day, notes: Iterable[NoteWritten]) -> list[NoteWritten]:
    return [note for note in notes if view.has(note.at)]


def _name(job: Job, zone: ZoneId | None) -> str | None:
    return None if zone is None else job.zone_names.get(zone, zone)


def _zone(view: _Day, zone: ZoneId) -> ZoneRecord:
    job = view.job.job
    clock = zone_clock(view.job, zone, view.seen_at)
    runs = [*view.job.zones[zone].runs, *(r for r in [view.job.zones[zone].running] if r)]
    today = [run for run in runs if run.finished_at is None or run.finished_at >= view.begins]
    rungs = rungs_at(view.job, zone, view.seen_at)
    stands = {(run.step, run.started_at) for run in (*rungs, *(r for r in runs if r.finished_at is None))}
    recipe = job.recipe_of(zone)
    return ZoneRecord(
        zone=zone,
        name=job.zone_names.get(zone, zone),
        block=job.blocks.index(job.block_of[zone]),
        recipe=recipe.title or recipe.name,
        stage=clock.stage,
        layers=clock.layers,
        planned=recipe.layers,
        urgency=clock.urgency,
        steps=tuple(_step(view, zone, run, (run.step, run.started_at) in stands) for run in today),
        earlier=len(runs) - len(today),
        cure=cure_record(view.job, zone),
        ahead=work_left(view.job, clock, view.seen_at, view.barred(clock), _forbidden(view, clock)),
        aside=clock.aside,
    )


def _forbidden(view: _Day, clock: ZoneClock) -> str:
    """Return why a mark leaves nothing to do on a zone; empty where none does."""
    if clock.ban is None:
        return ""
    return why_not(forbidden_by(clock.ban, view.job, clock.zone), view.state, view.tz)


def _step(view: _Day, zone: ZoneId, run: StepRun, stands: bool) -> StepRecord:
    job = view.job.job
    recipe = job.recipe_of(zone)
    step = recipe.named(run.step)
    product = job.products.get(step.product or "")
    begun_at = next((c.was for c in run.corrected if c.edge == "start"), run.started_at)
    return StepRecord(
        step=run.step,
        title=step_title(recipe, run.step),
        kind=step.kind,
        product=(product.title or product.name) if product else step.product,
        started_at=run.started_at,
        started_by=run.by,
        finished_at=run.finished_at,
        finished_by=run.finished_by,
        wait=view.waits.get((zone, run.step, run.started_at)),
        deviation=_deviation(view, zone, run.step, begun_at) if run.deviation else None,
        corrected=bool(run.corrected),
        air=_air_at(view, run.started_at) if step.kind is StepKind.COAT else None,
        stands=stands,
        bottle=_bottle(view, zone, run),
        recipe=view.recipes.title_at(zone, begun_at),
        place=place_title(view.state.places, view.job.place_at(run.started_at)),
    )


def _deviation(view: _Day, zone: ZoneId, step: StepId, begun_at: datetime) -> DeviationRecord | None:
    same = (d for d in reversed(view.deviations) if (d.zone, d.step, d.at) == (zone, step, begun_at))
    return next(same, None)


def _bottle(view: _Day, zone: ZoneId, run: StepRun) -> BottleRecord | None:
    """Return what a step was laid from, with batch and expiry as the shop knew them by then."""
    bottle = view.state.shelf.bottles.get(run.bottle) if run.bottle else None
    if bottle is None:
        return None
    ml = view.job.job.ml_of.get((zone, run.step))
    title = bottle.product.title or bottle.product.name
    rounded = None if ml is None else round(ml, 2)
    return BottleRecord(bottle.number, title, bottle.batch, bottle.expires_on, rounded)


def _doubted(view: _Day) -> Iterator[DoubtedRecord]:
    """Yield the coats whose reading is another now, laid or put right on this day; those of one touch together."""
    alike: dict[tuple[object, ...], list[DoubtedCoat]] = {}
    of_day = (
        c for c in doubted_coats(view.state, (view.job,)) if view.has(c.run.started_at) or view.has(c.corrected_at)
    )
    for coat in of_day:
        alike.setdefault((coat.run.step, coat.run.started_at, coat.was, coat.becomes), []).append(coat)
    for coats in alike.values():
        first, zones = coats[0], tuple(coat.zone for coat in coats)
        becomes = None if first.becomes is None else read_as(first.becomes)
        said = doubted_text(view.job, zones, first, view.tz) + "."
        yield DoubtedRecord(zones, first.run.step, first.run.started_at, read_as(first.was), becomes, first.unfit, said)


def _air_at(view: _Day, moment: datetime) -> AirReading | None:
    """Return the reading in force: each holds until the next one."""
    near, place = view.state.places.same_air, view.job.place_at(moment)
    found = (r for r in reversed(view.state.readings) if r.measured_at <= moment and near(r.place, place))
    return next(map(read_as, found), None)


def _changes(view: _Day, known: Sequence[Event]) -> list[JobChange]:
    """Return how the job was changed, and where its car stood, in the order of time."""
    job = view.job.job
    found = [
        *places_stood(known, job, view.state.places),
        *job_changes(known, job),
        *looks_and_water(known, job),
        *spots_tried(known, job),
    ]
    return sorted(found, key=lambda change: change.at)


def _around(state: BayState, job: JobState, reading: AirRead) -> bool:
    """Whether a reading is one of the air in which the car stood then."""
    return state.places.same_air(reading.place, job.place_at(reading.measured_at))


def _lapses(view: _Day, zone: ZoneId) -> Iterable[LapseRecord]:
    """Yield the day's lapses of a zone: those already paid or carried through, and those not yet answered."""
    job, zone_state = view.job.job, view.job.zones[zone]
    waiting = () if zone_state.running else ladder_position(view.job, zone, view.seen_at).lapses
    for lapse in (*zone_state.lapses, *waiting):
        if view.has(lapse.lapsed_at):
            title = step_title(job.recipe_of(zone), lapse.step)
            back = step_title(job.recipe_of(zone), lapse.back_to) if lapse.back_to else None
            yield LapseRecord(
                zone,
                job.zone_names.get(zone, zone),
                title,
                lapse.lapsed_at,
                back,
                lapse.carried_on,
                lapse.unsure,
                _spoilt_by(view.state, lapse, job),
            )


def _spoilt_by(state: BayState, lapse: Lapse, job: Job) -> str:
    """Return whose dust or water came over a wipe: "polish, bonnet"; empty where a moment passed."""
    by = lapse.spoilt_by
    if by is None:
        return ""
    other = state.jobs[by.job].job if by.job in state.jobs else job
    words = f"{step_title(other.recipe_of(by.zone), by.step)}, {other.zone_names.get(by.zone, by.zone)}"
    return of_car(other, words, 1 + (by.job != job.id))


def _taken_back(job: Job, undoing: Undoing) -> TakenBack:
    zone = undoing.undo.zone
    recipe = job.recipe_of(zone)

    def title(step: StepId) -> str:
        return step_title(recipe, step) if recipe.knows(step) else step

    what = tuple(("" if isinstance(act, Aid) else title(act.step), _kind_of(act), act.at) for act in undoing.acts)
    return TakenBack(zone, job.zone_names.get(zone, zone), what, undoing.undo.at, undoing.undo.by)


def _kind_of(act: Act) -> TakenBackKind:
    kinds: Mapping[type[Act], TakenBackKind] = {
        StepStarted: "start",
        StepFinished: "finish",
        TimeCorrected: "correction",
        CoatCovered: "cover",
        CoatUncovered: "uncover",
        SetClosed: "set",
        ZoneSentBack: "back",
        GotWet: "wet",
        ZonePassed: "passed",
    }
    return kinds[type(act)]


def _corrections(view: _Day, known: Sequence[Event]) -> Iterable[CorrectedTime]:
    job = view.job.job
    for e in known:
        if isinstance(e, TimeCorrected) and e.job == job.id and view.has(e.at):
            title = step_title(job.recipe_of(e.zone), e.step)
            name = job.zone_names.get(e.zone, e.zone)
            yield CorrectedTime(e.zone, name, e.step, title, e.edge, e.was, e.becomes, e.at, e.by)


def _cautions(job: Job) -> tuple[str, ...]:
    """Return the cautions of the job's products, each once, in the order of the job."""
    return tuple(dict.fromkeys(caution for product in job.products.values() for caution in product.cautions))
