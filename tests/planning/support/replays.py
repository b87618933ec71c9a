"""Carries a plan out through the gate, exactly as planned."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.job import BayState, fold, gate
from bayapp.job.gate.place_gate import answers_to
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.requests import FinishStep, ReadAir, Request, Start
from bayapp.job.text.sentences import why_not
from bayapp.planning.core.work_order import PlannedStep

GOOD_AIR = ReadAir(20.0, 50.0, 19.0)
READ_EVERY = timedelta(minutes=25)


@dataclass(frozen=True)
class Touch:
    """One press of a glove: a step begun and ended on some zones at once."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    person: Person | None
    begin: datetime
    end: datetime
    running: bool


def one_by_one(steps: Iterable[PlannedStep]) -> list[Touch]:
    """Each zone of each step by itself, but for those that one touch begins and ends together."""
    groups: dict[tuple[object, ...], list[PlannedStep]] = {}
    for step in steps:
        groups.setdefault((step.touch, step.start, step.end), []).append(step)
    return [_joined(group) for group in groups.values()]


def by_touch(steps: Iterable[PlannedStep]) -> list[Touch]:
    """What shares a number begins with the first of its zones and ends with the last."""
    groups: dict[int, list[PlannedStep]] = {}
    for step in steps:
        groups.setdefault(step.touch, []).append(step)
    return [_joined(group) for group in groups.values()]


def _joined(group: Sequence[PlannedStep]) -> Touch:
    [(job, step, person, running)] = {(s.job, s.step, s.person, s.running) for s in group}
    zones = tuple(s.zone for s in group)
    return Touch(job, zones, step, person, min(s.start for s in group), max(s.end for s in group), running)


def replay(
    state: BayState, touches: Iterable[Touch], until: datetime | None = None, air: ReadAir = GOOD_AIR
) -> tuple[BayState, list[str]]:
    """Return the bay after all of it, or as it stands at ``until``, and what the gate refused.

    Of one instant, what ends goes before what begins.
    """
    todo: list[tuple[datetime, int, Request]] = [
        (t.end, 0, FinishStep(t.job, t.zones, t.step, t.person)) for t in touches
    ]
    todo += [(t.begin, 1, Start(t.job, t.zones, t.step, t.person)) for t in touches if not t.running]
    refused: list[str] = []
    for moment, _, request in sorted(todo, key=lambda entry: entry[:2]):
        if until is not None and moment > until:
            break
        if isinstance(request, Start) and (state.air is None or moment - state.air.at > READ_EVERY):
            state, _ = _ask(state, air, moment)
            if any(job.place == OUTSIDE for job in state.open_jobs):
                state, _ = _ask(state, replace(air, place=OUTSIDE), moment)
        state, refusals = _ask(state, request, moment)
        refused += refusals
    return state, refused


def _ask(state: BayState, request: Request, moment: datetime) -> tuple[BayState, list[str]]:
    """Ask the gate; what it asks back, whether water can reach another car, is answered with no."""
    verdict = gate(state, request, moment)
    if not verdict.accepted and verdict.possible:
        for answer in answers_to(verdict, out_of_reach=True):
            state = fold(gate(state, answer, moment).events, state)
        verdict = gate(state, request, moment)
    refusals = [f"{moment:%H:%M:%S} {request}: {why_not(refusal, state)}" for refusal in verdict.refusals]
    return fold(verdict.events, state), refusals
