"""The gate: judges every request against the state, the time and the air. It writes nothing."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from functools import reduce, singledispatch

from bayapp.job.gate.air_gate import judge_air_correction, judge_reading, not_ripening
from bayapp.job.gate.air_rules import before_coat, fit_to_coat, only_asks, unfit
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.bay_rules import no_dust_on_coats, no_water_on_coats, person_free, tool_free
from bayapp.job.gate.fold import apply
from bayapp.job.gate.reasons import without_reason
from bayapp.job.gate.setting_aside import against_setting_aside, against_taking_up
from bayapp.job.gate.shelf_gate import drawn_by, judge_shelf, opened_by_use
from bayapp.job.gate.work_gate import judge_added_work, judge_crew, judge_swap
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.model.instant import to_millisecond, write_instant
from bayapp.job.state.events import (
    AirRead,
    Deviation,
    Event,
    JobClosed,
    NoteWritten,
    StepFinished,
    StepStarted,
    StepUndone,
    TimeCorrected,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.requests import (
    AddWork,
    ChangeCrew,
    CloseJob,
    CorrectAir,
    CorrectTime,
    FinishStep,
    OfShelf,
    OfZones,
    ReadAir,
    Request,
    SetAside,
    Start,
    SwapRecipe,
    TakeUp,
    Undo,
    WriteNote,
)
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal, Verdict, Why
from bayapp.job.waits.ladder_position import ladder_position, missed
from bayapp.job.waits.waits import NotBegun, Window, window_of


def gate(
    state: BayState, request: Request, at: datetime, air: AirRead | None, facts: BayFacts | None = None
) -> Verdict:
    """Judge one request at an instant.

    Args:
        at: when the person acted, aware; rounded to the millisecond.
        air: the last reading, or None.
        facts: the bay's facts at ``at`` when the caller asks many questions at once.

    Returns:
        The events to record, or every reason why not. The first refusal is the one to show.
    """
    at = to_millisecond(at)
    request = _each_zone_once(request)
    refusal = _known(state, request) or without_reason(request) or _in_time(state, at)
    if refusal:
        return Verdict(refusals=(refusal,))
    return _judge(request, state, at, air, facts or BayFacts(state, at))


def _each_zone_once(request: Request) -> Request:
    if isinstance(request, OfZones) and len(set(request.zones)) < len(request.zones):
        return replace(request, zones=tuple(dict.fromkeys(request.zones)))
    return request


def _known(state: BayState, request: Request) -> Refusal | None:
    if isinstance(request, ReadAir | CorrectAir | OfShelf):
        return None
    job = state.jobs.get(request.job)
    if job is None:
        return Refusal(Code.UNKNOWN, Why.NO_SUCH_JOB, facts={"job": request.job})
    if job.closed_at is not None:
        return Refusal(Code.DONE, Why.JOB_CLOSED, request.job, facts={"closed_at": job.closed_at})
    stranger = request.by is not None and job.job.crew and request.by not in job.job.crew
    if stranger and not isinstance(request, ChangeCrew):
        return Refusal(Code.UNKNOWN, Why.NO_SUCH_PERSON, request.job, facts={"by": request.by, "crew": job.job.crew})
    if isinstance(request, OfZones) and not isinstance(request, WriteNote) and not request.zones:
        return Refusal(Code.UNKNOWN, Why.NO_ZONE, request.job)
    for zone in _zones(request):
        if zone not in job.zones:
            return Refusal(Code.UNKNOWN, Why.NO_SUCH_ZONE, request.job, zone)
        step = getattr(request, "step", None)
        if step is not None and not job.job.recipe_of(zone).has(step):
            return Refusal(Code.UNKNOWN, Why.NO_SUCH_STEP, request.job, zone, step)
    return None


def _zones(request: Request) -> tuple[ZoneId, ...]:
    if isinstance(request, OfZones):
        return request.zones
    zone = getattr(request, "zone", None)
    return () if zone is None else (zone,)


def _in_time(state: BayState, at: datetime) -> Refusal | None:
    if state.open_clock_step:
        return Refusal(Code.CLOCK, Why.TIME_UNSURE, facts={"by_ms": state.open_clock_step.by_ms})
    if state.last_at is not None and at < state.last_at:
        return Refusal(Code.CLOCK, Why.TIME_RAN_BACK, right_from=state.last_at, facts={"last_at": state.last_at})
    return None


@singledispatch
def _judge(request: Request, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    raise TypeError(f"the gate has no rule for {type(request).__name__}")


@_judge.register
def _start(request: Start, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    job = state.jobs[request.job]
    own: dict[ZoneId, list[Refusal]] = {}
    windows: dict[ZoneId, Window] = {}
    for zone in request.zones:
        window, own[zone] = _zone_reasons(job, zone, request.step, at)
        if isinstance(window, Window):
            windows[zone] = window
    refusals = [r for found in own.values() for r in found]
    if any(r.final for r in refusals):
        return Verdict(refusals=tuple(refusals), windows=windows)
    bay, asks = _bay_reasons(request, job, facts, air, at)
    refusals += bay
    if refusals and not request.deviation:
        return Verdict(refusals=tuple(refusals), windows=windows)
    products = dict.fromkeys(job.job.recipe_of(zone).named(request.step).product for zone in request.zones)
    opened = [e for product in products for e in opened_by_use(facts.stock.in_hand(product), at, request.by)]
    events: tuple[Event, ...] = (*opened, *_starts(request, state, facts, at, own, bay))
    return Verdict(events=events, asks=tuple(asks), windows=windows)


def _starts(
    request: Start,
    state: BayState,
    facts: BayFacts,
    at: datetime,
    own: Mapping[ZoneId, list[Refusal]],
    bay: list[Refusal],
) -> tuple[StepStarted, ...]:
    """Return an event per zone; a deviation stands only where something was refused: on that zone, or in the bay."""
    touch = f"{write_instant(at)}/{request.by or ''}" if len(request.zones) > 1 else ""
    return tuple(
        StepStarted(
            at=at,
            job=request.job,
            by=request.by,
            zone=zone,
            step=request.step,
            touch=touch,
            deviation=_deviation(state, request, [*own[zone], *bay]),
            bottle=facts.stock.id_in_hand(state.jobs[request.job].job.recipe_of(zone).named(request.step)),
        )
        for zone in request.zones
    )


def _deviation(state: BayState, request: Start, refusals: list[Refusal]) -> Deviation | None:
    if not refusals or not request.deviation:
        return None
    return Deviation(code=refusals[0].code, why=why_not(refusals[0], state), reason=request.deviation)


def _zone_reasons(
    job: JobState, zone: ZoneId, step: StepId, at: datetime
) -> tuple[Window | NotBegun | None, list[Refusal]]:
    """Return the window that holds for a step on a zone, and why the zone's own ladder forbids it now."""

    def no(code: Code, why: Why, right_from: datetime | None = None, **told: object) -> list[Refusal]:
        return [Refusal(code, why, job.job.id, zone, step, right_from, told)]

    zone_state, recipe = job.zones[zone], job.job.recipe_of(zone)
    if zone in job.aside:
        return None, no(Code.ORDER, Why.SET_ASIDE, reason=job.aside[zone])
    if zone_state.running:
        return None, no(Code.BUSY, Why.ZONE_BUSY, running=zone_state.running.step, by=zone_state.running.by)
    stands, place = ladder_position(job, zone, at), recipe.position(step)
    late = missed(recipe, stands, step)
    if late is not None:
        window = window_of(job, zone, place, replace(zone_state, rungs=stands.stood[late]))
        lapse = stands.lapses[late]
        return window, no(
            Code.LATE, Why.LAPSED, lapsed_at=lapse.lapsed_at, back_to=lapse.back_to, careful=lapse.careful
        )
    if place not in stands.next_places:
        return None, _out_of_order(stands.next_places, {r.step for r in stands.rungs}, step, no)
    window = stands.window
    if isinstance(window, NotBegun):
        return window, no(Code.ORDER, Why.OTHERS_FIRST, zones=window.missing, anchor=window.anchor_step)
    if isinstance(window, Window) and window.opens_at is None:
        return window, [not_ripening(job, zone, step, window)]
    if isinstance(window, Window) and window.opens_at and at < window.opens_at:
        return window, no(Code.EARLY, Why.EARLY, window.opens_at, since=window.since, lapses_at=window.lapses_at)
    return window, []


def _out_of_order(
    places: tuple[int, ...], done: set[StepId], step: StepId, no: Callable[..., list[Refusal]]
) -> list[Refusal]:
    if step in done:
        return no(Code.DONE, Why.STEP_DONE)
    if not places:
        return no(Code.DONE, Why.ALL_DONE)
    return no(Code.ORDER, Why.STEP_BEFORE, next_place=places[0])


def _bay_reasons(
    request: Start | FinishStep, job: JobState, facts: BayFacts, air: AirRead | None, at: datetime
) -> tuple[list[Refusal], list[Refusal]]:
    """Return what the bay and the air forbid, and what they only ask for.

    An old reading that only asks for a new one still holds: what it forbids is not allowed by its growing older.
    """
    refusals, asks = [person_free(request, job, facts, at)], []
    for block in job.job.blocks:
        if not any(zone in block.zones for zone in request.zones):
            continue
        step = block.recipe.named(request.step)
        product = job.job.products.get(step.product or "")
        refusals += [
            tool_free(request, step, job, facts, at),
            no_dust_on_coats(request, step, facts),
            no_water_on_coats(request, step, facts),
            facts.stock.forbids(step, product),
        ]
        warning = before_coat(block.recipe, step, job.job.products, air, at, facts.dew_margin_k)
        asks += [warning] if warning else []
        doubt = fit_to_coat(step, product, air, at, facts.dew_margin_k)
        if doubt and only_asks(block.recipe, doubt):
            asks.append(doubt)
            doubt = unfit(product, air, facts.dew_margin_k) if air else None
        refusals.append(doubt)
    return [r for r in refusals if r], asks


@_judge.register
def _finish(request: FinishStep, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    job = state.jobs[request.job]
    running = [z for z in request.zones if job.zones[z].running]
    others = [z for z in running if (run := job.zones[z].running) and run.step != request.step]
    if others:
        run = job.zones[others[0]].running
        told = {"running": run.step if run else None}
        return Verdict(
            refusals=(Refusal(Code.ORDER, Why.NOT_RUNNING, request.job, others[0], request.step, facts=told),)
        )
    still = tuple(z for z in request.zones if z not in running)
    ends = _ends(request, tuple(running), at)
    if not still:
        return Verdict(events=ends)
    if ends:
        state = reduce(apply, ends, state)
        facts = BayFacts(state, at)
    begun = _start(Start(request.job, still, request.step, request.by, request.deviation), state, at, air, facts)
    if not begun.accepted:
        return begun
    starts = tuple(e.model_copy(update={"implied": True}) if isinstance(e, StepStarted) else e for e in begun.events)
    return replace(begun, events=(*ends, *starts, *_ends(request, still, at)))


def _ends(request: FinishStep, zones: tuple[ZoneId, ...], at: datetime) -> tuple[StepFinished, ...]:
    return tuple(StepFinished(at=at, job=request.job, by=request.by, zone=z, step=request.step) for z in zones)


@_judge.register
def _undo(request: Undo, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    job = state.jobs[request.job]
    for zone in request.zones:
        if job.zones[zone].before is None:
            return Verdict(refusals=(Refusal(Code.ORDER, Why.NOTHING_TO_UNDO, request.job, zone),))
    events = tuple(StepUndone(at=at, job=request.job, by=request.by, zone=z) for z in request.zones)
    refusals = _hands_after(request, job, reduce(apply, events, state), at)
    return Verdict(refusals=refusals) if refusals else Verdict(events=events)


def _hands_after(request: Undo, before: JobState, state: BayState, at: datetime) -> tuple[Refusal, ...]:
    """Return why an undone finish cannot be under way again: its hands or tool are elsewhere, or it is set aside."""
    job, facts = state.jobs[request.job], BayFacts(state, at)
    found: list[Refusal | None] = []
    for zone in request.zones:
        run = job.zones[zone].running
        if run and not before.zones[zone].running:
            if zone in job.aside:
                told = {"reason": job.aside[zone]}
                found.append(Refusal(Code.ORDER, Why.SET_ASIDE, request.job, zone, run.step, facts=told))
            again = Start(request.job, request.zones, run.step, run.by)
            found.append(person_free(again, job, facts, run.started_at))
            found.append(tool_free(again, job.job.recipe_of(zone).named(run.step), job, facts, run.started_at))
    return tuple(r for r in found if r)


@_judge.register
def _set_aside(request: SetAside, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    job = state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := against_setting_aside(job, zone)))
    if refusals:
        return Verdict(refusals=refusals)
    aside = ZoneSetAside(at=at, job=request.job, by=request.by, zone=request.zones[0], reason=request.reason)
    return Verdict(events=tuple(aside.model_copy(update={"zone": zone}) for zone in request.zones))


@_judge.register
def _take_up(request: TakeUp, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    job = state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := against_taking_up(job, zone)))
    if refusals:
        return Verdict(refusals=refusals)
    return Verdict(events=tuple(ZoneTakenUp(at=at, job=request.job, by=request.by, zone=z) for z in request.zones))


@_judge.register
def _add_work(request: AddWork, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_added_work(request, state.jobs[request.job], at)


@_judge.register
def _change_crew(request: ChangeCrew, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_crew(request, state.jobs[request.job], at)


@_judge.register
def _swap_recipe(request: SwapRecipe, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_swap(request, state.jobs[request.job], at)


@_judge.register
def _correct(request: CorrectTime, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    zone = state.jobs[request.job].zones[request.zone]
    becomes = to_millisecond(request.becomes)
    places = [i for i, run in enumerate(zone.runs) if run.step == request.step]
    if zone.running and zone.running.step == request.step:
        run, before, after = zone.running, zone.runs[-1] if zone.runs else None, None
    elif places:
        place = places[-1]
        run, before = zone.runs[place], zone.runs[place - 1] if place else None
        after = zone.runs[place + 1] if place + 1 < len(zone.runs) else zone.running
    else:
        return Verdict(refusals=(Refusal(Code.ORDER, Why.NOT_RUNNING, request.job, request.zone, request.step),))
    was = run.started_at if request.edge == "start" else run.finished_at
    earliest = run.started_at if request.edge == "finish" else (before.finished_at if before else None)
    latest = (run.finished_at or at) if request.edge == "start" else (after.started_at if after else at)
    if was is None or becomes > latest or (earliest is not None and becomes < earliest):
        told = {"becomes": becomes, "earliest": earliest, "latest": latest}
        refusal = Refusal(Code.CLOCK, Why.IMPOSSIBLE_TIME, request.job, request.zone, request.step, None, told)
        return Verdict(refusals=(refusal,))
    event = TimeCorrected(
        at=at,
        job=request.job,
        by=request.by,
        zone=request.zone,
        step=request.step,
        edge=request.edge,
        was=was,
        becomes=becomes,
    )
    return Verdict(events=(event,))


@_judge.register
def _read_air(request: ReadAir, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_reading(request, state, at)


@_judge.register
def _correct_air(request: CorrectAir, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_air_correction(request, state, at)


@_judge.register
def _note(request: WriteNote, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    note = NoteWritten(at=at, job=request.job, by=request.by, text=request.text)
    return Verdict(events=tuple(note.model_copy(update={"zone": zone}) for zone in request.zones or (None,)))


@_judge.register
def _close(request: CloseJob, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    drawn = drawn_by(state, state.jobs[request.job], at)
    return Verdict(events=(*drawn, JobClosed(at=at, job=request.job, by=request.by)))


@_judge.register
def _shelf(request: OfShelf, state: BayState, at: datetime, air: AirRead | None, facts: BayFacts) -> Verdict:
    return judge_shelf(state, request, at)
