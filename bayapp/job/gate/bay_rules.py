"""Rules across zones: dust, water, one pair of hands, one tool. Each returns the reason why not, or None."""

from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts, Running, dries_until
from bayapp.job.grounds import Bare, PersonBusy, ToolBusy, Why
from bayapp.job.model.ids import Code, StepKind
from bayapp.job.model.recipe import Step
from bayapp.job.state.requests import Start
from bayapp.job.verdict import Refusal


def _same_touch(other: Running, request: Start, begun_at: datetime) -> bool:
    """Whether the other step belongs to this touch: same instant, same step, same work block."""
    block_of = other.job.job.block_of
    return (
        other.job.job.id == request.job
        and other.run.step == request.step
        and other.run.started_at == begun_at
        and any(block_of.get(zone) is block_of.get(other.zone) for zone in request.zones)
    )


def person_free(request: Start, facts: BayFacts, begun_at: datetime) -> Refusal | None:
    """One person works on one step at a time."""
    if request.by is None:
        return None
    for other in facts.running:
        if other.run.by == request.by and not _same_touch(other, request, begun_at):
            return Refusal(Code.BUSY, PersonBusy(request.by), other.job.job.id, other.zone, other.run.step)
    return None


def tool_free(request: Start, step: Step, facts: BayFacts, begun_at: datetime) -> Refusal | None:
    """A tool there is one of is in one place."""
    if step.tool is None:
        return None
    for other in facts.running:
        if other.step.tool == step.tool and not _same_touch(other, request, begun_at):
            return Refusal(Code.BUSY, ToolBusy(step.tool), other.job.job.id, other.zone, other.run.step)
    return None


def no_dust_on_coats(request: Start, step: Step, facts: BayFacts) -> Refusal | None:
    """No dusty step while a fresh coat is open in the bay, and no coat while dust flies."""
    own = {(request.job, zone) for zone in request.zones}
    fresh = [entry for entry in facts.fresh if entry not in own] if step.makes_dust else []
    if fresh:
        dries = [(job, zone, dries_until(facts.state.jobs[job], zone)) for job, zone in fresh]
        job, zone, until = max(dries, key=lambda entry: (entry[2] is None, entry[2] or facts.at))
        return Refusal(Code.BAY, Bare(Why.DUST_ON_COAT), job, zone, None, until)
    if step.kind is StepKind.COAT:
        for other in facts.running:
            if other.step.makes_dust and (other.job.job.id, other.zone) not in own:
                return Refusal(Code.BAY, Bare(Why.COAT_IN_DUST), other.job.job.id, other.zone, other.run.step)
    return None


def no_water_on_coats(request: Start, step: Step, facts: BayFacts) -> Refusal | None:
    """No wet step inside any zone's keep-dry time, nor while a fresh coat is open."""
    if not step.makes_wet:
        return None
    own = {(request.job, zone) for zone in request.zones}
    dry = [entry for entry in facts.dry if entry[:2] not in own]
    if dry:
        job, zone, until = max(dry, key=lambda entry: entry[2])
        return Refusal(Code.BAY, Bare(Why.KEEP_DRY), job, zone, None, until)
    for job, zone in facts.fresh:
        if (job, zone) not in own:
            return Refusal(Code.BAY, Bare(Why.WATER_ON_COAT), job, zone)
    return None
