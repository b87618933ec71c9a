"""Judges test spots: what was tried before a polish of paint, and that none is made."""

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, Why
from bayapp.job.model.ids import Code
from bayapp.job.spots import combination_of, polish_of
from bayapp.job.state.events import SpotSkipped, SpotTried
from bayapp.job.state.requests import SkipSpot, TrySpot
from bayapp.job.verdict import Refusal, Verdict


def judge_spot(request: TrySpot | SkipSpot, facts: BayFacts) -> Verdict:
    """Keep a test spot, or that there is none, for every polish with the same paste and tool; a later one counts."""
    polish = polish_of(facts.state.jobs[request.job], request.zones, request.step)
    if polish is None:
        refusal = Refusal(Code.ORDER, Bare(Why.NO_POLISH), request.job, request.zones[0], request.step)
        return Verdict(refusals=(refusal,))
    job, by, of = request.job, request.by, combination_of(polish)
    if isinstance(request, TrySpot):
        return Verdict(events=(SpotTried(at=facts.at, job=job, by=by, combination=of, card=request.card),))
    return Verdict(events=(SpotSkipped(at=facts.at, job=job, by=by, combination=of),))
