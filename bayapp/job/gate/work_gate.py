"""Judges what changes a job while its car is in the bay: work, recipes, people, zones set aside, notes, its leaving."""

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.changes import against_adding, against_swapping, swapped_blocks
from bayapp.job.gate.deviation import deviation_from
from bayapp.job.gate.final_check import against_leaving
from bayapp.job.gate.setting_aside import against_setting_aside, against_taking_up
from bayapp.job.gate.shelf_gate import drawn_by
from bayapp.job.grounds import Bare, StillAtWork, Why
from bayapp.job.model.ids import Code
from bayapp.job.state.events import (
    BrakesChecked,
    CrewChanged,
    IdentityGiven,
    JobClosed,
    JobReopened,
    NoteWritten,
    RecipeSwapped,
    WorkAdded,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.job.state.requests import (
    AddWork,
    ChangeCrew,
    CheckBrakes,
    CloseJob,
    GiveIdentity,
    ReopenJob,
    SetAside,
    SwapRecipe,
    TakeUp,
    WriteNote,
)
from bayapp.job.verdict import Refusal, Verdict


def judge_added_work(request: AddWork, facts: BayFacts) -> Verdict:
    """Work more zones, where the form has them, none is worked yet, and all waits can still hold."""
    job = facts.state.jobs[request.job]
    if not request.block.zones:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_ZONE), request.job),))
    refusal = against_adding(job, request.block, request.products)
    if refusal:
        return Verdict(refusals=(refusal,))
    added = WorkAdded(
        at=facts.at,
        job=request.job,
        by=request.by,
        block=request.block,
        products=dict(request.products),
        reason=request.reason.strip(),
    )
    return Verdict(events=(added,))


def judge_crew(request: ChangeCrew, facts: BayFacts) -> Verdict:
    """Let other people work on a car, unless one who leaves is still at work on it."""
    job = facts.state.jobs[request.job]
    for zone, state in job.zones.items():
        run = state.running
        if run and run.by is not None and run.by not in request.crew:
            return Verdict(refusals=(Refusal(Code.BUSY, StillAtWork(run.by), request.job, zone, run.step),))
    crew = tuple(dict.fromkeys(request.crew))
    return Verdict(events=(CrewChanged(at=facts.at, job=request.job, by=request.by, crew=crew),))


def judge_swap(request: SwapRecipe, facts: BayFacts) -> Verdict:
    """Go on by another recipe, where what stands on each ladder fits it; one event for each place a zone stands at."""
    job = facts.state.jobs[request.job]
    refusal = against_swapping(job, request.zones, request.recipe, request.products, facts.at)
    if refusal:
        return Verdict(refusals=(refusal,))
    swapped = RecipeSwapped(
        at=facts.at,
        job=request.job,
        by=request.by,
        becomes=job.job.blocks[0],
        products=dict(request.products),
        recipe=request.recipe.title or request.recipe.name,
        reason=request.reason,
    )
    blocks = swapped_blocks(job, request.zones, request.recipe, facts.at)
    return Verdict(events=tuple(swapped.model_copy(update={"becomes": block}) for block in blocks))


def judge_setting_aside(request: SetAside, facts: BayFacts) -> Verdict:
    """Take zones out of today's work: all that were named, or none."""
    job = facts.state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := against_setting_aside(job, zone)))
    if refusals:
        return Verdict(refusals=refusals)
    aside = ZoneSetAside(at=facts.at, job=request.job, by=request.by, zone=request.zones[0], reason=request.reason)
    return Verdict(events=tuple(aside.model_copy(update={"zone": zone}) for zone in request.zones))


def judge_taking_up(request: TakeUp, facts: BayFacts) -> Verdict:
    """Work zones again that were set aside: all that were named, or none."""
    job = facts.state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := against_taking_up(job, zone)))
    if refusals:
        return Verdict(refusals=refusals)
    taken = (ZoneTakenUp(at=facts.at, job=request.job, by=request.by, zone=zone) for zone in request.zones)
    return Verdict(events=tuple(taken))


def judge_note(request: WriteNote, facts: BayFacts) -> Verdict:
    """Write it down, once for each zone that was named, or once for the job."""
    note = NoteWritten(at=facts.at, job=request.job, by=request.by, text=request.text)
    return Verdict(events=tuple(note.model_copy(update={"zone": zone}) for zone in request.zones or (None,)))


def judge_identity(request: GiveIdentity, facts: BayFacts) -> Verdict:
    """Keep what tells the car from others; what is wrong with it, its model has refused."""
    return Verdict(events=(IdentityGiven(at=facts.at, job=request.job, by=request.by, identity=request.identity),))


def judge_brakes(request: CheckBrakes, facts: BayFacts) -> Verdict:
    """Keep what is known of brakes and wheels; what is wrong with it, its model has refused."""
    return Verdict(events=(BrakesChecked(at=facts.at, job=request.job, by=request.by, check=request.check),))


def judge_closing(request: CloseJob, facts: BayFacts) -> Verdict:
    """Let the car leave, and write down what it took from each bottle.

    Where the shop wants it, all that was worked must have been seen by light, or somebody says why it goes anyway.
    """
    refusals = against_leaving(facts.state.jobs[request.job])
    if refusals and not request.deviation:
        return Verdict(refusals=refusals)
    drawn = drawn_by(facts.state, facts.state.jobs[request.job], facts.at)
    deviation = deviation_from(refusals, facts.state, request.deviation)
    return Verdict(events=(*drawn, JobClosed(at=facts.at, job=request.job, by=request.by, deviation=deviation)))


def judge_reopening(request: ReopenJob, facts: BayFacts) -> Verdict:
    """Let a car that left be in the bay again."""
    return Verdict(events=(JobReopened(at=facts.at, job=request.job, by=request.by),))
