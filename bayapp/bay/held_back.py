"""What keeps most of what is ready from being begun, looked at now and then: it takes too long for every repainting."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job import BayState, Refusal, Start, ZoneClock
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.grounds import Why
from bayapp.job.model.ids import Code, JobId, Person, StepId, ZoneId

MOST_ASKED = 24
SETTLED = timedelta(seconds=1)
HOLDS = timedelta(seconds=10)
Key = tuple[Why, JobId | None, ZoneId | None]


@dataclass(frozen=True, slots=True)
class HeldBack:
    """Zones whose next step only the bay forbids, and why: the coat that keeps dust or water away."""

    waiting: tuple[ZoneClock, ...]
    refusal: Refusal


def held_back(state: BayState, clocks: Collection[ZoneClock], by: Person | None, at: datetime) -> HeldBack | None:
    """Return what keeps most of what is ready from being begun; None where the bay keeps nothing back."""
    facts = BayFacts(state, at)
    ready: dict[tuple[JobId, StepId], list[ZoneClock]] = {}
    for clock in clocks:
        if clock.step and _is_ready(clock, at):
            ready.setdefault((clock.job, clock.step), []).append(clock)
    kept: dict[Key, list[ZoneClock]] = {}
    reasons: dict[Key, Refusal] = {}
    for (job, step), waiting in list(ready.items())[:MOST_ASKED]:
        verdict = judge(Start(job, (waiting[0].zone,), step, by), facts)
        refusal = next((r for r in verdict.refusals if r.code is Code.BAY and not r.asks), None)
        if refusal:
            key = refusal.why, refusal.job, refusal.zone
            reasons.setdefault(key, refusal)
            kept.setdefault(key, []).extend(waiting)
    if not kept:
        return None
    worst = max(kept, key=lambda key: len(kept[key]))
    return HeldBack(tuple(kept[worst]), reasons[worst])


def _is_ready(clock: ZoneClock, at: datetime) -> bool:
    """Whether only the bay can stand in the way of a zone's next step."""
    open_now = clock.opens_at is None or clock.opens_at <= at
    return open_now and not (clock.running or clock.out or clock.blocked_by or clock.held)


class HeldBackNow:
    """Looks once for each change of the bay, a moment after it, and again after ten seconds."""

    def __init__(self) -> None:
        self._known: tuple[BayState, Person | None, datetime, HeldBack | None] | None = None

    def look(self, state: BayState, clocks: Collection[ZoneClock], by: Person | None, at: datetime) -> HeldBack | None:
        """Return what is held back; None for a second after a change: first what was touched is painted."""
        if self._known:
            known_of, whose, since, known = self._known
            if known_of is state and whose == by and timedelta() <= at - since < HOLDS:
                return known
        if state.last_at and at - state.last_at < SETTLED:
            return None
        found = held_back(state, clocks, by, at)
        self._known = state, by, at, found
        return found
