"""Judges what is said of water that came on a car, and tells which zones it can harm."""

from datetime import datetime

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.covering import coverable
from bayapp.job.grounds import Bare, Why
from bayapp.job.model.ids import Code, ZoneId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import GotWet
from bayapp.job.state.requests import ReportWet
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal, Verdict


def judge_wetting(request: ReportWet, facts: BayFacts) -> Verdict:
    """Take down on which zones water came and when: not before the car came in, and nothing that is still to come.

    It is taken whatever runs on a zone, and of a covered one as well: nobody argues with the rain.
    """
    job = facts.state.jobs[request.job]
    wet_at = facts.at if request.wet_at is None else to_millisecond(request.wet_at)
    if not job.opened_at <= wet_at <= facts.at:
        return Verdict(refusals=(Refusal(Code.CLOCK, Bare(Why.WET_WHEN), request.job, request.zones[0]),))
    bare = [zone for zone in request.zones if not job.zones[zone].begun]
    if bare:
        return Verdict(refusals=(Refusal(Code.ORDER, Bare(Why.NOTHING_TO_WET), request.job, bare[0]),))
    wet = GotWet(at=facts.at, job=request.job, by=request.by, zone=request.zones[0], wet_at=wet_at)
    return Verdict(events=tuple(wet.model_copy(update={"zone": zone}) for zone in request.zones))


def not_dry_yet(job: JobState, at: datetime) -> tuple[ZoneId, ...]:
    """Return the zones that water would harm at an instant: a coat is fresh on them, or they must still be kept dry."""
    return tuple(zone for zone, state in job.zones.items() if state.covered is None and coverable(job, zone, at))
