"""Judges what changes a job while its car is in the bay: added work, swapped recipes."""

from datetime import datetime

from bayapp.job.gate.changes import against_adding, against_swapping, swapped_blocks
from bayapp.job.model.ids import Code
from bayapp.job.state.events import CrewChanged, RecipeSwapped, WorkAdded
from bayapp.job.state.requests import AddWork, ChangeCrew, SwapRecipe
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict, Why


def judge_added_work(request: AddWork, job: JobState, at: datetime) -> Verdict:
    """Work more zones, where the form has them, none is worked yet, and all waits can still hold."""
    if not request.block.zones:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Why.NO_ZONE, request.job),))
    refusal = against_adding(job, request.block, request.products)
    if refusal:
        return Verdict(refusals=(refusal,))
    added = WorkAdded(at=at, job=request.job, by=request.by, block=request.block, products=dict(request.products))
    return Verdict(events=(added,))


def judge_crew(request: ChangeCrew, job: JobState, at: datetime) -> Verdict:
    """Let other people work on a car, unless one who leaves is still at work on it."""
    for zone, state in job.zones.items():
        run = state.running
        if run and run.by is not None and run.by not in request.crew:
            told = {"by": run.by}
            return Verdict(refusals=(Refusal(Code.BUSY, Why.STILL_AT_WORK, request.job, zone, run.step, facts=told),))
    crew = tuple(dict.fromkeys(request.crew))
    return Verdict(events=(CrewChanged(at=at, job=request.job, by=request.by, crew=crew),))


def judge_swap(request: SwapRecipe, job: JobState, at: datetime) -> Verdict:
    """Go on by another recipe, where what stands on each ladder fits it; one event for each place a zone stands at."""
    refusal = against_swapping(job, request.zones, request.recipe, request.products)
    if refusal:
        return Verdict(refusals=(refusal,))
    swapped = RecipeSwapped(
        at=at,
        job=request.job,
        by=request.by,
        becomes=job.job.blocks[0],
        products=dict(request.products),
        recipe=request.recipe.title or request.recipe.name,
        reason=request.reason,
    )
    blocks = swapped_blocks(job, request.zones, request.recipe)
    return Verdict(events=tuple(swapped.model_copy(update={"becomes": block}) for block in blocks))
