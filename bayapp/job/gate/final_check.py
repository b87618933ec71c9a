"""The final check of a car by light: which zones were seen and are good, and which are still to be looked at."""

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.setting_aside import is_out
from bayapp.job.grounds import Bare, NotSeen, Why, ZoneBusy
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.state.events import ZonePassed
from bayapp.job.state.requests import PassZones
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.ladder_position import next_places


def judge_passing(request: PassZones, facts: BayFacts) -> Verdict:
    """Take down that all these zones were seen and are good, or none: each must be done, or out of today's work."""
    job = facts.state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := _against(job, zone)))
    if refusals:
        return Verdict(refusals=refusals)
    passed = ZonePassed(at=facts.at, job=request.job, by=request.by, zone=request.zones[0])
    return Verdict(events=tuple(passed.model_copy(update={"zone": zone}) for zone in request.zones))


def _against(job: JobState, zone: ZoneId) -> Refusal | None:
    state, recipe = job.zones[zone], job.job.recipe_of(zone)
    if state.running:
        return Refusal(Code.BUSY, ZoneBusy(state.running.step), job.job.id, zone, state.running.step)
    if state.passed:
        return Refusal(Code.DONE, Bare(Why.PASSED_ALREADY), job.job.id, zone)
    places = next_places(recipe, state.rungs)
    if places and not is_out(job, zone) and not state.may_have_spots:
        step = StepId(recipe.step[places[0]].id)
        return Refusal(Code.ORDER, Bare(Why.STILL_TO_DO), job.job.id, zone, step)
    return None


def to_be_seen(job: JobState) -> tuple[ZoneId, ...]:
    """Return the zones on which something was done and that nobody has seen by light and found good since."""
    return tuple(zone for zone, state in job.zones.items() if state.begun and not state.passed)


def against_leaving(job: JobState) -> tuple[Refusal, ...]:
    """Return why a car is not to leave: the shop wants each zone that was worked to have been seen by light."""
    zones = to_be_seen(job) if job.set_up and job.set_up.final_check else ()
    return (Refusal(Code.ORDER, NotSeen(zones), job.job.id),) if zones else ()
