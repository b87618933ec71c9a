"""Visits every state that accepted touches reach, whenever a person touches.

States of one situation are held together, by the ages that their runs may have. The gate is asked once for each
situation and piece of its ages in which no verdict changes; what a touch makes of all of them follows. Ages that lie
within some that were visited are not followed again, for whatever follows has been (Daws and Tripakis, "Model checking
of real-time reachability properties using abstractions", TACAS 1998; from memory).

A touch begins a step of a zone or of zones together or ends it, covers or uncovers a coat, or closes a set early;
nothing is undone, nothing deviates, and zones are sent back only where that is asked for. Between touches any time may
pass; the air stays as it is.
"""

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from bayapp.job import Job, fold
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.state.requests import Request
from bayapp.job.state.state import BayState
from tests.liveness.age_bounds import AgeBounds, Piece, hull, newborn
from tests.liveness.ages import Ages
from tests.liveness.moves import lean, opened, sendings_back, touches
from tests.liveness.situations import Key, Order, Seen, Situation, Situations, sources_of

NONE = -1
TOLD_EVERY = 2000
Point = tuple[int, ...]
"""The ages of one state, ms, in the order of its situation's."""


@dataclass(frozen=True, slots=True)
class Touched:
    """A touch that is accepted, and where it leads.

    Attributes:
        request: the touch, on zones as they are named in the state that shows the situation.
        target: the number of the situation that it leads to.
        sources: for each way to swap zones that no rule tells apart, where the ages come from (``sources_of``).
        order: for the first of these ways, the zones in the order of the target's.
    """

    request: Request
    target: int
    sources: tuple[tuple[int, ...], ...]
    order: Order

    def taken(self, ages: Point) -> Point:
        """Return the ages that it leads to."""
        return tuple((0, *ages)[source] for source in self.sources[0])


@dataclass(eq=False, slots=True)
class Visit:
    """States of one situation that were met together: their ages, and from which visit by which touch.

    Attributes:
        superseded: a later visit holds them all.
    """

    number: int
    situation: int
    ages: AgeBounds
    came_from: int
    touch: Touched | None
    superseded: bool = False


@dataclass
class EveryState:
    """The states of a job that stands alone in the bay, as far as they have been visited.

    Attributes:
        allowed: which touches are made at all.
        sent_back: whether zones are sent back, too, to any step that stands.
        asked: how often the gate was asked of a state.
    """

    job: Job
    allowed: Callable[[Request], bool] = lambda request: True
    sent_back: bool = False
    situations: list[Situation] = field(default_factory=list)
    visits: list[Visit] = field(default_factory=list)
    asked: int = 0

    def __post_init__(self) -> None:
        first = opened(self.job)
        self.known = Situations(first, Ages(first.jobs[self.job.id], self.sent_back))
        self._numbers: dict[Key, int] = {}
        self._touched: list[dict[Piece, tuple[Touched, ...]]] = []
        self._open: list[list[Visit]] = []

    def number_of(self, seen: Seen) -> int | None:
        """Return the number of a situation, None where it was not met."""
        return self._numbers.get(seen.key)

    def visits_of(self, situation: int) -> list[Visit]:
        """Return the visits that hold all states of a situation."""
        return self._open[situation]

    def visit_all(self, most: int = 10**9, told: Callable[[int, int], None] = lambda visits, left: None) -> None:
        """Visit every state; ``told`` hears now and then how many visits there were, and how many are left to follow.

        Raises:
            OverflowError: there are more than ``most``.
        """
        first, _ = self._number(self.known.first)
        left = deque([self._visited(first, newborn(len(self.situations[first].ages)), NONE, None)])
        while left:
            visit = left.popleft()
            if visit.number % TOLD_EVERY == TOLD_EVERY - 1:
                told(len(self.visits), len(left))
            if visit.superseded:
                continue
            for touch, ages in self._following(visit):
                new = self._new(touch, ages, visit)
                left.extend([new] if new else [])
            if len(self.visits) > most:
                raise OverflowError(f"more than {most} visits")

    def touches(self, situation: int, piece: Piece, ages: Point) -> tuple[Touched, ...]:
        """Return every touch that the gate accepts where ages are in this piece; ``ages`` are some of them."""
        known = self._touched[situation]
        if piece not in known:
            known[piece] = tuple(self._ask(self.situations[situation], ages))
        return known[piece]

    def touches_at(self, situation: int, ages: Point) -> tuple[Touched, ...]:
        """Return every touch that the gate accepts at these ages."""
        cuts = self.situations[situation].cuts
        piece = tuple(sum(age >= cut for cut in own) for age, own in zip(ages, cuts, strict=True))
        return self.touches(situation, piece, ages)

    def _following(self, visit: Visit) -> Iterator[tuple[Touched, AgeBounds]]:
        """Yield each touch with the ages at which it is made: those of several pieces at once where they can be."""
        pieces = list(visit.ages.pieces(self.situations[visit.situation].cuts))
        by_touch: dict[Touched, list[int]] = {}
        for number, (piece, part) in enumerate(pieces):
            for touch in self.touches(visit.situation, piece, part.least):
                by_touch.setdefault(touch, []).append(number)
        for touch, numbers in by_touch.items():
            parts = [pieces[number][1] for number in numbers]
            whole = hull(parts)
            others = [part for number, (_, part) in enumerate(pieces) if number not in set(numbers)]
            yield from ((touch, part) for part in (parts if any(map(whole.meets, others)) else [whole]))

    def _new(self, touch: Touched, ages: AgeBounds, came_from: Visit) -> Visit | None:
        """Return a visit to what a touch leads to; None where all of it was visited, perhaps with zones swapped."""
        known = [visit.ages for visit in self._open[touch.target]]
        alike = [self._in_time(touch.target, taken(ages, sources)) for sources in touch.sources]
        if any(new.within(known) for new in alike):
            return None
        return self._visited(touch.target, alike[0], came_from.number, touch)

    def _visited(self, situation: int, ages: AgeBounds, came_from: int, touch: Touched | None) -> Visit:
        visit = Visit(len(self.visits), situation, self._in_time(situation, ages), came_from, touch)
        for other in self._open[situation]:
            other.superseded = other.ages.within([visit.ages])
        self._open[situation] = [*(other for other in self._open[situation] if not other.superseded), visit]
        self.visits.append(visit)
        return visit

    def _in_time(self, situation: int, ages: AgeBounds) -> AgeBounds:
        """Return the ages that these come to be as time passes."""
        return ages.later().capped(self.situations[situation].caps)

    def _ask(self, situation: Situation, ages: Point) -> Iterator[Touched]:
        """Yield the touches that the gate accepts in the state with these ages."""
        self.asked += 1
        state, at = self.known.aged(situation, ages)
        facts = BayFacts(state, at)
        for request in filter(self.allowed, self._tried(state, at)):
            verdict = judge(request, facts)
            if verdict.accepted:
                target, seen = self._number(lean(fold(verdict.events, state)))
                sources = dict.fromkeys(tuple(sources_of(situation, state, seen, own)) for _, own in seen.orders)
                yield Touched(request, target, tuple(sources), seen.orders[0][0])

    def _tried(self, state: BayState, at: datetime) -> Iterator[Request]:
        yield from touches(state, at)
        if self.sent_back:
            yield from sendings_back(state)

    def _number(self, state: BayState) -> tuple[int, Seen]:
        seen = self.known.seen(state)
        number = self._numbers.setdefault(seen.key, len(self.situations))
        if number == len(self.situations):
            self.situations.append(self.known.situation(seen, state))
            self._touched.append({})
            self._open.append([])
        return number, seen


def taken(ages: AgeBounds, sources: tuple[int, ...]) -> AgeBounds:
    """Return the ages that a touch leads to, at its instant."""
    places: NDArray[np.intp] = np.array((0, *sources), np.intp)
    return ages.taken(places)
