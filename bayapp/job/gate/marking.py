"""Judges what is said of zones: marks set on them, and lifted."""

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, Why
from bayapp.job.model.ids import Code
from bayapp.job.model.mark import Mark
from bayapp.job.state.events import MarkLifted, MarkSet
from bayapp.job.state.requests import LiftMark, SetMark
from bayapp.job.verdict import Refusal, Verdict


def judge_marking(request: SetMark, facts: BayFacts) -> Verdict:
    """Mark the zones that are not marked just so, whatever is done on them; where all are, there is nothing to say."""
    job, mark = facts.state.jobs[request.job], request.mark
    if mark.lies_ahead(facts.at):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.MARK_AHEAD), request.job, request.zones[0]),))
    zones = [zone for zone in request.zones if mark not in job.marks.get(zone, ())]
    if not zones:
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.MARKED_ALREADY), request.job, request.zones[0]),))
    marked = MarkSet(at=facts.at, job=request.job, by=request.by, zone=zones[0], mark=mark)
    return Verdict(events=tuple(marked.model_copy(update={"zone": zone}) for zone in zones))


def judge_lifting(request: LiftMark, facts: BayFacts) -> Verdict:
    """Lift each mark that is meant from each of the zones; where none has such a mark, there is nothing to lift."""
    marks = facts.state.jobs[request.job].marks
    meant = [(zone, mark) for zone in request.zones for mark in marks.get(zone, ()) if _is_meant(request, mark)]
    if not meant:
        return Verdict(refusals=(Refusal(Code.DONE, Bare(Why.NO_SUCH_MARK), request.job, request.zones[0]),))
    zone, mark = meant[0]
    lifted = MarkLifted(at=facts.at, job=request.job, by=request.by, zone=zone, mark=mark)
    return Verdict(events=tuple(lifted.model_copy(update={"zone": zone, "mark": mark}) for zone, mark in meant))


def _is_meant(request: LiftMark, mark: Mark) -> bool:
    narrower = (request.what in (None, mark.what)) and (request.point in (None, mark.point))
    return mark.kind is request.kind and narrower
