"""What to do next until a planner says better: the soonest-lapsing open step, then the one that waited longest."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job.clocks import ZoneClock
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState


@dataclass(frozen=True, slots=True)
class Advice:
    """A step that may be begun now by one touch on these zones of one work block.

    Attributes:
        lapses_at: its latest moment, the soonest among the zones.
        waited_since: since when it could have been done.
    """

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    urgency: Urgency
    lapses_at: datetime | None
    waited_since: datetime


def advise(state: BayState, clocks: Iterable[ZoneClock], by: Person | None, at: datetime) -> tuple[Advice, ...]:
    """Return every step that the gate would accept from this person now, or ask about, the best first.

    Zones of one work block that have the same step before them are offered together.
    """
    facts = BayFacts(state, at)
    offers = []
    for (job_id, step, _), group in _side_by_side(state, clocks).items():
        ready = _accepted(group, Start(job_id, tuple(c.zone for c in group), step, by), facts)
        if ready:
            offers.append(_advice(state, ready, step))
    far = max((o.lapses_at for o in offers if o.lapses_at), default=at)
    return tuple(sorted(offers, key=lambda o: (o.lapses_at is None, o.lapses_at or far, o.waited_since)))


def _accepted(group: list[ZoneClock], start: Start, facts: BayFacts) -> list[ZoneClock]:
    """Return the clocks of the zones that may begin together; a zone that must wait holds up no other."""
    verdict = judge(start, facts)
    if verdict.possible:
        return group
    refused = {refusal.zone for refusal in verdict.refusals}
    left = [clock for clock in group if clock.zone not in refused]
    if not left or len(left) == len(group):
        return []
    again = replace(start, zones=tuple(clock.zone for clock in left))
    return left if judge(again, facts).possible else []


def _side_by_side(state: BayState, clocks: Iterable[ZoneClock]) -> dict[tuple[JobId, StepId, ZoneId], list[ZoneClock]]:
    """Group zones by work block and next step; a zone that is worked, out of the work or waits offers nothing.

    Its first zone identifies a block: to compare whole blocks took a third of every repainting.
    """
    groups: dict[tuple[JobId, StepId, ZoneId], list[ZoneClock]] = {}
    for clock in clocks:
        if clock.step is None or clock.running or clock.out:
            continue
        if clock.urgency is Urgency.WAITING or clock.blocked_by or clock.held:
            continue
        job = state.jobs[clock.job].job
        key = (clock.job, clock.step, job.block_of[clock.zone].zones[0])
        groups.setdefault(key, []).append(clock)
    return groups


def _advice(state: BayState, group: list[ZoneClock], step: StepId) -> Advice:
    opened = state.jobs[group[0].job].opened_at
    lapses = [c.lapses_at for c in group if c.lapses_at and c.urgency is not Urgency.LAPSED]
    ready = [_ready_since(state, c, opened) for c in group]
    urgency = max((c.urgency for c in group), key=list(Urgency).index)
    return Advice(group[0].job, tuple(c.zone for c in group), step, urgency, min(lapses, default=None), min(ready))


def _ready_since(state: BayState, clock: ZoneClock, opened: datetime) -> datetime:
    if clock.opens_at:
        return clock.opens_at
    if clock.lapses:
        return clock.lapses[-1].lapsed_at
    runs = state.jobs[clock.job].zones[clock.zone].runs
    return runs[-1].finished_at or opened if runs else opened
