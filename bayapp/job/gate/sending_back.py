"""Zones sent back by choice: work is done again from a rung that was climbed, for a reason."""

from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, IsAside, Why, ZoneBusy
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.state.events import ZoneSentBack
from bayapp.job.state.requests import SendBack
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict
from bayapp.job.waits.ladder_position import ladder_position


def judge_sending_back(request: SendBack, facts: BayFacts) -> Verdict:
    """Send all zones that were named back to the rung, or none; what lies on them from there on no longer counts.

    A coat that is to come off again needs no care any more: dust and water of others may reach it.
    """
    job = facts.state.jobs[request.job]
    refusals = tuple(r for zone in request.zones if (r := _against(job, zone, request.step, facts.at)))
    if refusals:
        return Verdict(refusals=refusals)
    about = {"at": facts.at, "job": request.job, "by": request.by, "step": request.step, "reason": request.reason}
    return Verdict(events=tuple(ZoneSentBack.model_validate({**about, "zone": zone}) for zone in request.zones))


def _against(job: JobState, zone: ZoneId, step: StepId, at: datetime) -> Refusal | None:
    """Return why a zone cannot be sent back: it is set aside, is being worked, or has not been so far up."""
    running = job.zones[zone].running
    if zone in job.aside:
        return Refusal(Code.ORDER, IsAside(job.aside[zone]), job.job.id, zone)
    if running:
        return Refusal(Code.BUSY, ZoneBusy(running.step), job.job.id, zone, running.step)
    if step not in {run.step for run in ladder_position(job, zone, at).rungs}:
        return Refusal(Code.ORDER, Bare(Why.NOT_DONE_YET), job.job.id, zone, step)
    return None
