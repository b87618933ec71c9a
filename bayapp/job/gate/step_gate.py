"""Judges the start and the finish of a step: the zone's own ladder first, then the bay, the air and the bottle."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from bayapp.job.gate.air_gate import not_ripening
from bayapp.job.gate.air_rules import air_for_coat, before_coat
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.bay_rules import no_dust_on_coats, no_water_on_coats, one_block, person_free, tool_free
from bayapp.job.gate.covering import against_laying_bare
from bayapp.job.gate.deviation import deviation_from
from bayapp.job.gate.mark_rules import against_marks
from bayapp.job.gate.shelf_gate import opened_by_use
from bayapp.job.gate.spoilt_wipes import spoils
from bayapp.job.grounds import Bare, Early, Grounds, IsAside, Lapsed, LeftOut, OthersFirst, StepBefore, Why, ZoneBusy
from bayapp.job.model.ids import Code, StepId, StepKind, ZoneId
from bayapp.job.model.instant import write_instant
from bayapp.job.model.job import Job
from bayapp.job.model.place import OUTSIDE
from bayapp.job.model.recipe import Recipe, Step
from bayapp.job.state.events import Event, StepFinished, StepStarted
from bayapp.job.state.requests import FinishStep, Start
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position, missed, window_of
from bayapp.job.waits.waits import NotBegun, Window


def judge_start(request: Start, facts: BayFacts) -> Verdict:
    """Begin a step on all zones of the touch or on none; with a deviation, through every reason but the final ones."""
    job = facts.state.jobs[request.job]
    own: dict[ZoneId, list[Refusal]] = {}
    windows: dict[ZoneId, Window] = {}
    for zone in request.zones:
        window, ladder = _zone_reasons(job, zone, request.step, facts.at)
        marks = [] if any(r.final for r in ladder) else against_marks(job, zone, request.step, facts.at)
        own[zone] = [*marks, *ladder]
        if isinstance(window, Window):
            windows[zone] = window
    refusals = [r for found in own.values() for r in found]
    if any(r.final for r in refusals):
        return Verdict(refusals=tuple(refusals), windows=windows)
    bay, asks = _bay_reasons(request, job, facts)
    refusals += bay
    if refusals and not request.deviation:
        return Verdict(refusals=tuple(refusals), windows=windows)
    products = dict.fromkeys(job.job.recipe_of(zone).named(request.step).product for zone in request.zones)
    opened = [e for product in products for e in opened_by_use(facts.stock.in_hand(product), facts.at, request.by)]
    events: tuple[Event, ...] = (*opened, *_starts(request, facts, own, bay))
    return Verdict(events=events, asks=tuple(asks), windows=windows)


def judge_finish(request: FinishStep, facts: BayFacts) -> Verdict:
    """End the step where it is under way; where nothing is, begin and end it at the same instant.

    What a mark has come to forbid meanwhile is done all the same; it is told.
    """
    job = facts.state.jobs[request.job]
    running = [z for z in request.zones if job.zones[z].running]
    others = [z for z in running if (run := job.zones[z].running) and run.step != request.step]
    if others:
        return Verdict(refusals=(Refusal(Code.ORDER, Bare(Why.NOT_RUNNING), request.job, others[0], request.step),))
    still = tuple(z for z in request.zones if z not in running)
    ends = _ends(request, tuple(running), facts.at)
    marked = tuple(r for z in running for r in against_marks(job, z, request.step, facts.at))
    if not still:
        return Verdict(events=ends, asks=marked)
    begin = Start(request.job, still, request.step, request.by, request.deviation)
    begun = judge_start(begin, facts.after(ends) if ends else facts)
    if not begun.accepted:
        return begun
    starts = tuple(e.model_copy(update={"implied": True}) if isinstance(e, StepStarted) else e for e in begun.events)
    return replace(begun, events=(*ends, *starts, *_ends(request, still, facts.at)), asks=(*marked, *begun.asks))


def _ends(request: FinishStep, zones: tuple[ZoneId, ...], at: datetime) -> tuple[StepFinished, ...]:
    return tuple(StepFinished(at=at, job=request.job, by=request.by, zone=z, step=request.step) for z in zones)


def _starts(
    request: Start, facts: BayFacts, own: Mapping[ZoneId, list[Refusal]], bay: list[Refusal]
) -> tuple[StepStarted, ...]:
    """Return an event per zone; a deviation stands only where something was refused: on that zone, or in the bay."""
    job, at = facts.state.jobs[request.job].job, facts.at
    spoilt = spoils(facts.state, request, at)
    return tuple(
        StepStarted(
            at=at,
            job=request.job,
            by=request.by,
            zone=zone,
            step=request.step,
            touch=_touch(request, job, zone, at),
            deviation=deviation_from([*own[zone], *bay], facts.state, request.deviation),
            bottle=facts.stock.id_in_hand(job.recipe_of(zone).named(request.step)),
            spoils=spoilt,
        )
        for zone in request.zones
    )


def _touch(request: Start, job: Job, zone: ZoneId, at: datetime) -> str:
    """Return the name of the touch that begins this zone with others of its work block; empty where it is alone."""
    together = [other for other in request.zones if job.block_of[other] is job.block_of[zone]]
    return f"{write_instant(at)}/{request.by or ''}/{together[0]}" if len(together) > 1 else ""


def _zone_reasons(
    job: JobState, zone: ZoneId, step: StepId, at: datetime
) -> tuple[Window | NotBegun | None, list[Refusal]]:
    """Return the window that holds for a step on a zone, and why the zone's own ladder forbids it now."""

    def no(code: Code, grounds: Grounds, right_from: datetime | None = None) -> list[Refusal]:
        return [Refusal(code, grounds, job.job.id, zone, step, right_from)]

    zone_state, recipe = job.zones[zone], job.job.recipe_of(zone)
    if zone in job.aside:
        return None, no(Code.ORDER, IsAside(job.aside[zone]))
    if zone_state.running:
        return None, no(Code.BUSY, ZoneBusy(zone_state.running.step))
    place = recipe.position(step)
    ladder = ladder_position(job, zone, at).for_step(place)
    late = missed(recipe, ladder, step)
    if late is not None:
        window = window_of(job, zone, place, replace(zone_state, rungs=ladder.stood[late]), at)
        lapse = ladder.lapses[late]
        again = ladder.rework.next_places if ladder.rework and lapse.back_to is None else ()
        do_again = StepId(recipe.step[again[0]].id) if again else None
        return window, no(
            Code.LATE, Lapsed(lapse.lapsed_at, lapse.back_to, lapse.air_was_unknown, do_again, lapse.unsure)
        )
    if place not in ladder.next_places:
        next_steps = tuple(StepId(recipe.step[p].id) for p in ladder.next_places)
        return None, no(*_out_of_order(recipe, ladder, next_steps, step))
    window = ladder.window
    if isinstance(window, NotBegun):
        return window, no(Code.ORDER, OthersFirst(window.missing, window.anchor_step))
    if isinstance(window, Window) and window.opens_at is None:
        return window, [not_ripening(job, zone, step, window)]
    if isinstance(window, Window) and window.opens_at and at < window.opens_at:
        return window, no(
            Code.EARLY, Early(window.since, window.opens_at, window.ripening is not None), window.opens_at
        )
    return window, []


def _out_of_order(
    recipe: Recipe, ladder: LadderPosition, next_steps: tuple[StepId, ...], step: StepId
) -> tuple[Code, Grounds]:
    """Return why a step that does not come next is refused; one that was left out can be made up, with a reason."""
    if step in {run.step for run in ladder.rungs}:
        return Code.DONE, Bare(Why.STEP_DONE)
    first = recipe.group_of(recipe.position(step)).stop
    after = tuple(run.step for run in ladder.rungs if recipe.position(run.step) >= first)
    if after:
        return Code.ORDER, LeftOut(after)
    return Code.ORDER, StepBefore(next_steps[0])


def _laying_bare(request: Start, step: Step, facts: BayFacts) -> list[Refusal]:
    """Whoever begins takes the cover off; of dust in which a coat would be laid another rule speaks already."""
    dust = not step.makes_dust and step.kind is not StepKind.COAT
    return against_laying_bare(request.job, request.zones, facts, dust, water=not step.makes_wet)


def _away(request: Start, job: JobState) -> Refusal | None:
    """Nobody works on a car that was moved out to cure; to look at it harms nothing."""
    kinds = {job.job.recipe_of(zone).named(request.step).kind for zone in request.zones}
    if not job.curing or kinds == {StepKind.INSPECT}:
        return None
    return Refusal(Code.BAY, Bare(Why.CURES_ELSEWHERE), request.job, request.zones[0], request.step)


def _bay_reasons(request: Start, job: JobState, facts: BayFacts) -> tuple[list[Refusal], list[Refusal]]:
    """Return what the bay and the air forbid, and what they only ask for."""
    refusals, asks = [_away(request, job), one_block(request, facts), person_free(request, facts)], []
    for block in job.job.blocks:
        mine = replace(request, zones=tuple(zone for zone in request.zones if zone in block.zones))
        if not mine.zones:
            continue
        beside = [(z, job.job.recipe_of(z).named(request.step)) for z in request.zones if z not in block.zones]
        step = block.recipe.named(request.step)
        product = job.job.products.get(step.product or "")
        refusals += [
            tool_free(mine, step, facts),
            no_dust_on_coats(mine, step, facts, beside),
            *no_water_on_coats(mine, step, facts, beside),
            *_laying_bare(mine, step, facts),
            facts.stock.forbids(step, product),
        ]
        warning = before_coat(block.recipe, step, job, facts)
        asks += [warning] if warning else []
        forbidden, asked = air_for_coat(block.recipe, step, job, facts)
        refusals += forbidden
        asks += asked
        if step.kind is StepKind.COAT and job.place == OUTSIDE:  # the weather's, common practice, no source
            asks.append(Refusal(Code.BAY, Bare(Why.COAT_OUTSIDE), request.job, mine.zones[0], request.step))
    return [r for r in refusals if r], asks
