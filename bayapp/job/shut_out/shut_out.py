"""What beginning a step would keep others from: which steps elsewhere could then not begin, and until when.

Known before the touch: the step is tried out on a copy, and the soonest start of all that is left is compared with and
without it.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.fold import fold
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import JobId, SetName, StepId, ZoneId
from bayapp.job.shut_out.earliest_starts import EarliestStarts, Place
from bayapp.job.state.events import StepStarted
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.job.waits.waits import Window

LEAST = 1.0
"""Shorter than this, seconds, is no wait."""


@dataclass(frozen=True, slots=True)
class Barrier:
    """What must be done on a zone before others may go on: ``step``; and what keeps that step waiting for ever.

    Attributes:
        step: None where the zone must be kept dry.
        stuck: the step of the zone that can never begin as things stand; None where it only takes time.
        waits_for: the set that this step waits for.
        zones: the zones of it that cannot get there.
    """

    job: JobId
    zone: ZoneId
    step: StepId | None = None
    stuck: StepId | None = None
    waits_for: SetName | None = None
    zones: tuple[ZoneId, ...] = ()


@dataclass(frozen=True, slots=True)
class Barred:
    """A step of another zone that would be kept waiting.

    Attributes:
        otherwise: when it could begin if this were not begun.
        until: when it can begin at the soonest; None where it cannot as things stand.
    """

    job: JobId
    zone: ZoneId
    step: StepId
    otherwise: datetime
    until: datetime | None
    by: Barrier


@dataclass(frozen=True, slots=True)
class Missed:
    """A latest moment that would pass meanwhile."""

    job: JobId
    zone: ZoneId
    step: StepId
    lapses_at: datetime


@dataclass(frozen=True, slots=True)
class ShutOut:
    """What a touch would shut out; empty where it hinders nothing.

    Attributes:
        barred: the first step of each zone that would have to wait, those without a known end first.
        missed: running windows that would close meanwhile.
        spoils: zones whose open wipe its dust or water would spoil.
    """

    barred: tuple[Barred, ...] = ()
    missed: tuple[Missed, ...] = ()
    spoils: tuple[Place, ...] = ()

    @property
    def closes_the_way(self) -> bool:
        """Whether something could not begin at all until another thing happens that cannot happen either."""
        return any(one.until is None for one in self.barred)


NOTHING = ShutOut()


def shut_out(state: BayState, start: Start, at: datetime) -> ShutOut:
    """Return what would be shut out if this were begun now; nothing where the gate refuses it.

    A wait is given as the soonest moment at which it can end, not as when somebody will have time.
    """
    verdict = judge(start, BayFacts(state, at))
    if not verdict.accepted:
        return NOTHING
    own = [(start.job, zone) for zone in start.zones]
    before = EarliestStarts(state, at)
    spoils = next((event.spoils for event in verdict.events if isinstance(event, StepStarted)), ())
    after = before.begun(fold(verdict.events, state), own, spoils)
    if not after.bars(own):
        return ShutOut(spoils=spoils) if spoils else NOTHING
    barred, missed = list[Barred](), list[Missed]()
    for zone in _others(state, (*own, *spoils)):  # what is to be wiped again is told of as that
        barred += _barred(before, after, zone, own)
        missed += _missed(before, after, zone)
    return ShutOut(tuple(sorted(barred, key=_weight, reverse=True)), tuple(missed), spoils)


def _others(state: BayState, own: Collection[Place]) -> Iterator[Place]:
    for job in state.open_jobs:
        for zone in job.zones:
            if (job.job.id, zone) not in own and zone not in job.aside:
                yield job.job.id, zone


def _barred(before: EarliestStarts, after: EarliestStarts, zone: Place, own: Collection[Place]) -> Iterator[Barred]:
    """Yield the first step of a zone that itself is kept waiting; what only follows on others is not said as well."""
    for number, turn in enumerate(after.turns(zone)):
        barriers = after.barriers(zone, turn, own)
        if barriers and max(barriers.values()) > before.begins(zone, number) + LEAST:
            begins = after.begins(zone, number)
            otherwise = after.at + timedelta(seconds=before.begins(zone, number))
            until = None if begins == inf else after.at + timedelta(seconds=begins)
            yield Barred(*zone, turn.id, otherwise, until, _barrier(after, barriers))
            return


def _barrier(after: EarliestStarts, barriers: Mapping[Place, float]) -> Barrier:
    """Return which zone of the touch keeps a step waiting the longest, and what keeps that one waiting in its turn."""
    by = max(barriers, key=lambda zone: barriers[zone])
    stuck = next((n for n in range(len(after.turns(by))) if after.begins(by, n) == inf), None)
    if stuck is None:
        return Barrier(*by, after.frees(by))
    return Barrier(*by, after.frees(by), after.turns(by)[stuck].id, after.set_of(by, stuck), after.waits_for(by, stuck))


def _missed(before: EarliestStarts, after: EarliestStarts, zone: Place) -> Iterator[Missed]:
    """Yield the running window of a zone that could have been kept, and could no longer.

    A zone on which a mark leaves nothing to do has none to miss.
    """
    if not before.turns(zone) or not after.turns(zone):
        return
    window = ladder_position(after.state.jobs[zone[0]], zone[1], after.at).window
    if isinstance(window, Window) and window.lapses_at:
        last = after.seconds(window.lapses_at)
        if before.begins(zone, 0) <= last < after.begins(zone, 0):
            yield Missed(*zone, after.turns(zone)[0].id, window.lapses_at)


def _weight(barred: Barred) -> tuple[bool, float]:
    return barred.until is None, barred.until.timestamp() if barred.until else 0.0
