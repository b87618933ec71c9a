"""Zones set aside for today: what stands against it, and what handover still waits for.

A zone set aside counts for no wait of another, as if it were not in the job, and has no clock; its own waits run on
unseen. Taken up again it counts, except for a wait that already runs towards a latest moment: that neither stops nor
moves. Undo puts no zone under way that is set aside.
"""

from bayapp.job.grounds import AsideAlready, Bare, StillWorked, Why
from bayapp.job.model.ids import Code, StepKind, ZoneId
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal
from bayapp.job.waits.bans import stopped
from bayapp.job.waits.ladder_position import next_places


def against_setting_aside(job: JobState, zone: ZoneId) -> Refusal | None:
    """Return why a zone cannot be set aside: it is being worked, is set aside already, or nothing is left to do."""
    if zone in job.aside:
        return Refusal(Code.DONE, AsideAlready(job.aside[zone]), job.job.id, zone)
    running = job.zones[zone].running
    if running:
        return Refusal(Code.BUSY, StillWorked(running.step), job.job.id, zone, running.step)
    if not next_places(job.job.recipe_of(zone), job.zones[zone].rungs):
        return Refusal(Code.DONE, Bare(Why.ALL_DONE), job.job.id, zone)
    return None


def against_taking_up(job: JobState, zone: ZoneId) -> Refusal | None:
    """Return why a zone cannot be taken up again: it is not set aside."""
    return None if zone in job.aside else Refusal(Code.DONE, Bare(Why.NOT_ASIDE), job.job.id, zone)


def awaited(job: JobState) -> tuple[ZoneId, ...]:
    """Return the zones that handover waits for: all but those that are out of the work with nothing unfinished on them.

    Out of it is a zone that is set aside, and one on which a mark leaves nothing to do while the car is here.
    """
    return tuple(zone for zone in job.zones if not is_out(job, zone) or _something_lies_on(job, zone))


def is_out(job: JobState, zone: ZoneId) -> bool:
    """Whether a zone is out of today's work: set aside, or marked so that nothing is left to do on it."""
    if zone in job.aside:
        return True
    state = job.zones[zone]
    if state.running or zone not in job.marks:
        return False
    places = next_places(job.job.recipe_of(zone), state.rungs)
    return stopped(job, zone, places, job.opened_at) is not None


def _something_lies_on(job: JobState, zone: ZoneId) -> bool:
    """Whether a coat that was never finished, or masking, is on the zone.

    Polishing takes a coat off; a fall alone does not (common practice, no source).
    """
    recipe, coat, masked = job.job.recipe_of(zone), False, False
    for run in job.zones[zone].runs:
        kind = recipe.named(run.step).kind
        coat = kind is StepKind.COAT or (coat and kind is not StepKind.POLISH)
        masked = kind is StepKind.MASK or (masked and kind is not StepKind.UNMASK)
    return coat or masked
