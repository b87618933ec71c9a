"""Judges what is asked of the bay and its machine: cars that come in, answers to alerts, how the bay is."""

from datetime import timedelta
from functools import singledispatch

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.place_gate import first_free
from bayapp.job.grounds import Bare, JobKnown, OfPlace, Why
from bayapp.job.model.ids import Code
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import (
    AlertAnswered,
    BaySetUp,
    Event,
    JobOpened,
    SoundChecked,
    StayedLonger,
    TimeZoneChanged,
)
from bayapp.job.state.requests import (
    AnswerAlerts,
    OfBay,
    OpenJob,
    ReportSound,
    ReportTimeZone,
    SetUpBay,
    StayLonger,
    TrustSensor,
)
from bayapp.job.state.sensor_trust import subject_of
from bayapp.job.verdict import Refusal, Verdict

LONGEST_STAY = timedelta(hours=14)


@singledispatch
def judge_bay(request: OfBay, facts: BayFacts) -> Verdict:
    """Judge one request about the bay and its machine."""
    raise TypeError(f"the gate has no rule for {type(request).__name__}")


def _yes(event: Event) -> Verdict:
    return Verdict(events=(event,))


@judge_bay.register
def _open(request: OpenJob, facts: BayFacts) -> Verdict:
    job = request.opens
    if job.id in facts.state.jobs or facts.was_here(job.id):
        return Verdict(refusals=(Refusal(Code.DONE, JobKnown(job.id)),))
    if request.place is not None and not facts.state.places.knows(request.place):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, OfPlace(Why.NO_SUCH_PLACE, request.place)),))
    place = request.place or first_free(facts.state)
    return _yes(JobOpened(at=facts.at, job=job.id, opened=job, place=place))


@judge_bay.register
def _answer(request: AnswerAlerts, facts: BayFacts) -> Verdict:
    return _yes(AlertAnswered(at=facts.at, subjects=request.subjects, until=request.until))


@judge_bay.register
def _trust(request: TrustSensor, facts: BayFacts) -> Verdict:
    again_from = to_millisecond(request.again_from)
    return _yes(AlertAnswered(at=facts.at, by=request.by, subjects=(subject_of(request.sensor),), until=again_from))


@judge_bay.register
def _stay(request: StayLonger, facts: BayFacts) -> Verdict:
    until = None if request.until is None else to_millisecond(request.until)
    if until is not None and not facts.at < until <= facts.at + LONGEST_STAY:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_SUCH_STAY)),))
    return _yes(StayedLonger(at=facts.at, by=request.by, until=until))


@judge_bay.register
def _sound(request: ReportSound, facts: BayFacts) -> Verdict:
    return _yes(SoundChecked(at=facts.at, heard=request.heard))


@judge_bay.register
def _time_zone(request: ReportTimeZone, facts: BayFacts) -> Verdict:
    return _yes(TimeZoneChanged(at=facts.at, was=request.was, becomes=request.becomes))


@judge_bay.register
def _set_up(request: SetUpBay, facts: BayFacts) -> Verdict:
    """What holds already is not written down again."""
    becomes = BaySetUp(
        at=facts.at,
        dew_margin_k=request.dew_margin_k,
        volume_m3=request.volume_m3,
        air_changes=request.air_changes,
        mixing_k=request.mixing_k,
        thin_um=request.thin_um,
        unlike_um=request.unlike_um,
        repaint_days=request.repaint_days,
        time_zone=request.time_zone,
        final_check=request.final_check,
    )
    holds = facts.state.set_up or BaySetUp(at=facts.at)
    same = holds.model_copy(update={"at": becomes.at}) == becomes
    return Verdict() if same else _yes(becomes)
