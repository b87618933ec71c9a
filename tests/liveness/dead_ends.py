"""Finds the situations from which no way leads to the end, and how the nearest of them are reached.

Nobody is ever forced to touch: from every state time may pass until no verdict changes any more, and the state is
*settled*. So where a state is a dead end, the settled one of its situation is one too, and where a way to the end leads
from every settled state, one does from every state.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

import numpy as np

from bayapp.job import BayState, fold, gate
from bayapp.job.model.ids import ZoneId
from bayapp.job.state.requests import OfZones, Request, SendBack
from tests.liveness.age_bounds import AgeBounds
from tests.liveness.ages import MS
from tests.liveness.every_state import NONE, EveryState, Point, Touched, Visit, taken
from tests.liveness.moves import Move, as_move, done, lean, sendings_back, touches


@dataclass(frozen=True)
class DeadEnds:
    """The dead ends among all states of a job, which have been visited."""

    states: EveryState

    @cached_property
    def ends(self) -> frozenset[int]:
        """The situations in which nothing is left to do."""
        return frozenset(n for n, situation in enumerate(self.states.situations) if done(situation.state))

    @cached_property
    def dead(self) -> frozenset[int]:
        """The situations from whose settled state no way leads to the end."""
        count = len(self.states.situations)
        alive = set(self.ends)
        self._spread(alive, list(alive))
        for number in reversed(range(count)):
            if number not in alive and self._reaches(number, alive):
                alive.add(number)
                self._spread(alive, [number])
        assert len(self.states.situations) == count, "a settled state led to where no visit did"
        return frozenset(range(count)) - alive

    def closing(self) -> list[Visit]:
        """Return the first visits of dead situations to which a touch leads from one that is alive."""
        visits = self.states.visits
        first: dict[int, Visit] = {}
        for visit in visits:
            if visit.situation in self.dead and (
                visit.came_from == NONE or visits[visit.came_from].situation not in self.dead
            ):
                first.setdefault(visit.situation, visit)
        return list(first.values())

    def _spread(self, alive: set[int], left: list[int]) -> None:
        """Add every situation from whose settled state one touch leads to one of those left, and so on."""
        while left:
            for number in self._one_touch_before.get(left.pop(), ()):
                if number not in alive:
                    alive.add(number)
                    left.append(number)

    @cached_property
    def _one_touch_before(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for number, situation in enumerate(list(self.states.situations)):
            for touch in self._ways(number, situation.caps):
                found.setdefault(touch.target, []).append(number)
        return found

    def _reaches(self, number: int, alive: set[int]) -> bool:
        """Whether a way leads from the settled state of a situation to one that is alive."""
        left: deque[tuple[int, Point]] = deque([(number, self.states.situations[number].caps)])
        known = {left[0]}
        while left:
            situation, ages = left.popleft()
            if situation in alive:
                return True
            for point in self._next(situation, ages):
                if point not in known:
                    known.add(point)
                    left.append(point)
        return False

    def _next(self, number: int, ages: Point) -> Iterator[tuple[int, Point]]:
        """Yield what each touch leads to, and what time does until a verdict changes."""
        for touch in self._ways(number, ages):
            yield touch.target, _capped(touch.taken(ages), self.states.situations[touch.target].caps)
        situation = self.states.situations[number]
        waits = [cut - age for age, own in zip(ages, situation.cuts, strict=True) for cut in own if cut > age]
        if waits:
            yield number, _capped([age + min(waits) for age in ages], situation.caps)

    def _ways(self, number: int, ages: Point) -> Iterator[Touched]:
        """Yield the touches that may lead on; that work could be done anew excuses no dead end."""
        yield from (t for t in self.states.touches_at(number, ages) if not isinstance(t.request, SendBack))


def way_to(states: EveryState, visit: Visit) -> tuple[list[Move], BayState, datetime]:
    """Return the touches that lead to a state of this visit, each accepted by the gate, the state and its instant."""
    chain = [visit]
    while chain[-1].came_from != NONE:
        chain.append(states.visits[chain[-1].came_from])
    chain.reverse()
    dated = _dated(states, [v.touch for v in chain[1:] if v.touch], 0, _since_opening(states))
    assert dated is not None, "what was visited is reached"
    state, start = states.known.first, states.job.start
    names = {zone: zone for zone in states.situations[chain[0].situation].order}
    moves: list[Move] = []
    for after, ages in zip(chain[1:], dated, strict=False):
        assert after.touch
        at = start + ages[-1] * MS
        request = _as_named(after.touch.request, names, state, at)
        moves.append(as_move(request, at))
        state = lean(fold(gate(state, request, at).events, state))
        target = states.situations[after.situation]
        names = {own: names[zone] for own, zone in zip(target.order, after.touch.order, strict=True)}
    return moves, state, start + dated[-1][-1] * MS


def _as_named(request: Request, names: dict[ZoneId, ZoneId], state: BayState, at: datetime) -> Request:
    """Return the touch on zones as they are named in the state, by whoever makes it there."""
    assert isinstance(request, OfZones)
    zones = {names[zone] for zone in request.zones}
    return next(
        other
        for other in (*touches(state, at), *sendings_back(state))
        if isinstance(other, OfZones)
        and set(other.zones) == zones
        and replace(other, zones=(), by=None) == replace(request, zones=(), by=None)
        and gate(state, other, at).accepted
    )


def _since_opening(states: EveryState) -> AgeBounds:
    """Return the ages of the first situation, and behind them how long the car has been there."""
    ages = len(states.situations[states.visits[0].situation].ages) + 1
    return AgeBounds(np.zeros((ages + 1, ages + 1), np.int64)).later()


def _dated(states: EveryState, touched: Sequence[Touched], situation: int, ages: AgeBounds) -> list[Point] | None:
    """Return at which ages each touch is made, and some after the last; None where these cannot be."""
    if not touched:
        return [ages.least]
    touch, *rest = touched
    for piece, part in ages.pieces((*states.situations[situation].cuts, ())):
        if touch not in states.touches(situation, piece[:-1], part.least[:-1]):
            continue
        sources = (*touch.sources[0], len(part.most) - 1)
        following = _dated(states, rest, touch.target, taken(part, sources).later())
        if following is not None:
            return [_before(part, sources, following[0]), *following]
    return None


def _before(part: AgeBounds, sources: tuple[int, ...], later: Point) -> Point:
    """Return ages of a part from which, taken from their sources, time leads to those later; the last goes through."""
    most, now = part.most.copy(), len(part.most) - 1
    for source, age in zip(sources, later, strict=True):
        apart = later[-1] - age  # by how much this one is younger than the bay
        most[now, source] = min(most[now, source], apart)
        most[source, now] = min(most[source, now], -apart)
    most[now, 0] = min(most[now, 0], later[-1])
    return AgeBounds(most).tight().least


def _capped(ages: Sequence[int], caps: Point) -> Point:
    return tuple(min(age, cap) for age, cap in zip(ages, caps, strict=True))
