"""Judges what puts the record right: an undo, and another time for a start or a finish."""

from datetime import datetime
from typing import NamedTuple

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.bay_rules import person_free, tool_free
from bayapp.job.gate.covering import against_never_covered
from bayapp.job.grounds import Bare, ImpossibleTime, IsAside, Why
from bayapp.job.model.ids import Code, StepId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import StepUndone, TimeCorrected
from bayapp.job.state.requests import CorrectTime, Start, Undo
from bayapp.job.state.state import JobState, StepRun, ZoneState
from bayapp.job.verdict import Refusal, Verdict


def judge_undo(request: Undo, facts: BayFacts) -> Verdict:
    """Take back each zone's last event, where there is one and what it brings back under way can be."""
    job, at = facts.state.jobs[request.job], facts.at
    for zone in request.zones:
        if job.zones[zone].before is None:
            return Verdict(refusals=(Refusal(Code.ORDER, Bare(Why.NOTHING_TO_UNDO), request.job, zone),))
    events = tuple(StepUndone(at=at, job=request.job, by=request.by, zone=z) for z in request.zones)
    after = facts.after(events)
    refusals = (*_hands_after(request, job, after), *_laid_bare(request, facts, after))
    return Verdict(refusals=refusals) if refusals else Verdict(events=events)


def _hands_after(request: Undo, before: JobState, after: BayFacts) -> tuple[Refusal, ...]:
    """Return why an undone finish cannot be under way again: its hands or tool are elsewhere, or it is set aside."""
    job = after.state.jobs[request.job]
    found: list[Refusal | None] = []
    for zone in request.zones:
        run = job.zones[zone].running
        if run and not before.zones[zone].running:
            if zone in job.aside:
                found.append(Refusal(Code.ORDER, IsAside(job.aside[zone]), request.job, zone, run.step))
            again = Start(request.job, (zone,), run.step, run.by)
            found.append(person_free(again, after, run.touch))
            found.append(tool_free(again, job.job.recipe_of(zone).named(run.step), after, run.touch))
    return tuple(r for r in found if r)


def _laid_bare(request: Undo, before: BayFacts, after: BayFacts) -> tuple[Refusal, ...]:
    """Return why an undone cover cannot be off a coat again: dust or water was let fly because of it."""
    became = after.state.jobs[request.job].zones
    bare = tuple(zone for zone in request.zones if became[zone].covered is None)
    return tuple(against_never_covered(request.job, bare, before))


class _Neighbours(NamedTuple):
    """The latest run of a step on a zone, and the runs just before and after it."""

    run: StepRun
    before: StepRun | None
    after: StepRun | None


def judge_time_correction(request: CorrectTime, facts: BayFacts) -> Verdict:
    """Give the latest run of a step another start or finish, where it still lies between what was before and after."""
    found = _latest(facts.state.jobs[request.job].zones[request.zone], request.step)
    becomes = to_millisecond(request.becomes)
    if found is None:
        refusal = Refusal(Code.ORDER, Bare(Why.NOT_RUNNING), request.job, request.zone, request.step)
        return Verdict(refusals=(refusal,))
    was = found.run.started_at if request.edge == "start" else found.run.finished_at
    if was is None or not _fits(request, becomes, found, facts.at):
        refusal = Refusal(Code.CLOCK, ImpossibleTime(becomes), request.job, request.zone, request.step)
        return Verdict(refusals=(refusal,))
    event = TimeCorrected(
        at=facts.at,
        job=request.job,
        by=request.by,
        zone=request.zone,
        step=request.step,
        edge=request.edge,
        was=was,
        becomes=becomes,
    )
    return Verdict(events=(event,))


def _latest(zone: ZoneState, step: StepId) -> _Neighbours | None:
    if zone.running and zone.running.step == step:
        return _Neighbours(zone.running, zone.runs[-1] if zone.runs else None, None)
    places = [i for i, run in enumerate(zone.runs) if run.step == step]
    if not places:
        return None
    place = places[-1]
    after = zone.runs[place + 1] if place + 1 < len(zone.runs) else zone.running
    return _Neighbours(zone.runs[place], zone.runs[place - 1] if place else None, after)


def _fits(request: CorrectTime, becomes: datetime, found: _Neighbours, at: datetime) -> bool:
    run, before, after = found
    if request.edge == "start":
        earliest, latest = before.finished_at if before else None, run.finished_at or at
    else:
        earliest, latest = run.started_at, after.started_at if after else at
    return becomes <= latest and (earliest is None or becomes >= earliest)
