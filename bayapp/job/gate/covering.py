"""Coats covered and uncovered: what stands against it, and what a cover keeps away.

A cover is offered where dust or water would do harm: over a fresh coat, and over one that must be kept dry.
"""

from collections.abc import Iterable
from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts, Running, lies_fresh
from bayapp.job.grounds import Bare, Why, ZoneBusy
from bayapp.job.model.ids import Code, JobId, ZoneId
from bayapp.job.state.events import CoatCovered, CoatUncovered
from bayapp.job.state.requests import Cover, Uncover
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.cure import cure_of


def judge_cover(request: Cover, facts: BayFacts) -> Verdict:
    """Cover the coats of all zones that were named, or of none."""
    job = facts.state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := _against_covering(job, zone, facts)))
    if refusals:
        return Verdict(refusals=refusals)
    covered = CoatCovered(at=facts.at, job=request.job, by=request.by, zone=request.zones[0])
    return Verdict(events=tuple(covered.model_copy(update={"zone": zone}) for zone in request.zones))


def judge_uncover(request: Uncover, facts: BayFacts) -> Verdict:
    """Take the cover off all zones that were named, or off none."""
    job = facts.state.jobs[request.job]
    bare = [zone for zone in request.zones if job.zones[zone].covered is None]
    refusals = [Refusal(Code.DONE, Bare(Why.NOT_COVERED), request.job, zone) for zone in bare]
    refusals += [] if bare else against_laying_bare(request.job, request.zones, facts)
    if refusals:
        return Verdict(refusals=tuple(refusals))
    uncovered = CoatUncovered(at=facts.at, job=request.job, by=request.by, zone=request.zones[0])
    return Verdict(events=tuple(uncovered.model_copy(update={"zone": zone}) for zone in request.zones))


def coverable(job: JobState, zone: ZoneId, at: datetime) -> bool:
    """Whether the zone has a coat that dust or water would harm at an instant, covered or not."""
    cure = cure_of(job, zone)
    return lies_fresh(job, zone, at) or bool(cure and cure.dry_until and at < cure.dry_until)


def against_laying_bare(
    job_id: JobId, zones: tuple[ZoneId, ...], facts: BayFacts, dust: bool = True, water: bool = True
) -> list[Refusal]:
    """Return why the cover cannot be taken off these zones now: dust or water of another zone would reach a coat.

    Of either, one zone is named. ``dust``, ``water``: whether that of others matters; a step that makes its own asks
    nothing of them.
    """
    return _against_bare(job_id, zones, facts, facts.running, (dust, water))


def against_never_covered(job_id: JobId, zones: tuple[ZoneId, ...], facts: BayFacts) -> list[Refusal]:
    """Return why it cannot be said that these zones were never covered: others were begun since, as they were.

    What flew before somebody said so flew at a bare coat, and does so still.
    """
    covers = [cover.at for zone in zones if (cover := facts.state.jobs[job_id].zones[zone].covered)]
    since = [other for other in facts.running if covers and other.run.started_at >= min(covers)]
    return _against_bare(job_id, zones, facts, since, (True, True))


def _against_bare(
    job_id: JobId, zones: tuple[ZoneId, ...], facts: BayFacts, running: Iterable[Running], minds: tuple[bool, bool]
) -> list[Refusal]:
    job, (dust, water) = facts.state.jobs[job_id], minds
    harmed = [zone for zone in zones if job.zones[zone].covered and coverable(job, zone, facts.at)]
    fresh = [zone for zone in harmed if lies_fresh(job, zone, facts.at)]
    found: dict[Why, Refusal] = {}
    for other in running:
        if (other.job.job.id == job_id and other.zone in zones) or not facts.state.share_air(job_id, other.job.job.id):
            continue
        where = other.job.job.id, other.zone, other.run.step
        if dust and fresh and other.step.makes_dust:
            found.setdefault(Why.COAT_IN_DUST, Refusal(Code.BAY, Bare(Why.COAT_IN_DUST), *where))
        elif water and other.step.makes_wet and any(z in fresh or _reached(other, job_id, z, facts) for z in harmed):
            found.setdefault(Why.COAT_IN_WATER, Refusal(Code.BAY, Bare(Why.COAT_IN_WATER), *where))
    return list(found.values())


def _reached(wet: Running, job: JobId, zone: ZoneId, facts: BayFacts) -> bool:
    """Whether water under way may reach a zone: nobody has said of its car that it is out of reach."""
    other = wet.job.job.id
    return other == job or facts.state.splash_answer(other, job, zone) is not True


def _against_covering(job: JobState, zone: ZoneId, facts: BayFacts) -> Refusal | None:
    running = job.zones[zone].running
    if running:
        return Refusal(Code.BUSY, ZoneBusy(running.step), job.job.id, zone, running.step)
    if job.zones[zone].covered:
        return Refusal(Code.DONE, Bare(Why.COVERED_ALREADY), job.job.id, zone)
    if not coverable(job, zone, facts.at):
        return Refusal(Code.ORDER, Bare(Why.NOTHING_TO_COVER), job.job.id, zone)
    return None
