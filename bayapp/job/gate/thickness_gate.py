"""Judges readings of the paint's thickness and their withdrawal."""

from collections.abc import Iterator
from math import isfinite

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.grounds import Bare, ImpossibleThickness, Why
from bayapp.job.model.ids import Code, ZoneId
from bayapp.job.model.thickness import LEAST_UM, MOST_READINGS, MOST_UM
from bayapp.job.state.events import ThicknessRead, ThicknessWithdrawn
from bayapp.job.state.requests import ReadThickness, WithdrawThickness
from bayapp.job.verdict import Refusal, Verdict


def judge_thickness(request: ReadThickness, facts: BayFacts) -> Verdict:
    """Record the readings of all zones, unless one of them says what no paint can have."""
    if not request.readings or any(not um for _zone, um in request.readings):
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_READINGS), request.job),))
    refusals = tuple(refusal for zone, um in request.readings if (refusal := _impossible(request, zone, um)))
    if refusals:
        return Verdict(refusals=refusals)
    read = (
        ThicknessRead(at=facts.at, job=request.job, by=request.by, zone=zone, um=some, source=request.source)
        for zone, um in request.readings
        for some in _in_entries(um)
    )
    return Verdict(events=tuple(read))


def judge_thickness_withdrawal(request: WithdrawThickness, facts: BayFacts) -> Verdict:
    """Let an entry of a zone count no more, where it still does."""
    entries = facts.state.jobs[request.job].thickness.get(request.zone, ())
    counting = [number for number, entry in enumerate(entries, 1) if entry.counts]
    number = request.number if request.number is not None else next(reversed(counting), None)
    if number is None or number not in counting:
        return Verdict(refusals=(Refusal(Code.UNKNOWN, Bare(Why.NO_THICKNESS), request.job, request.zone),))
    um = entries[number - 1].read.um
    withdrawn = ThicknessWithdrawn(at=facts.at, job=request.job, by=request.by, zone=request.zone, number=number, um=um)
    return Verdict(events=(withdrawn,))


def _in_entries(um: tuple[float, ...]) -> Iterator[tuple[float, ...]]:
    for start in range(0, len(um), MOST_READINGS):
        yield um[start : start + MOST_READINGS]


def _impossible(request: ReadThickness, zone: ZoneId, um: tuple[float, ...]) -> Refusal | None:
    wrong = next((value for value in um if not isfinite(value) or not LEAST_UM <= value <= MOST_UM), None)
    return None if wrong is None else Refusal(Code.UNKNOWN, ImpossibleThickness(wrong), request.job, zone)
