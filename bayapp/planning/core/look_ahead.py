"""Look-ahead: what begins too late if everybody does what is due, soonest lapse first; a quick test, not a plan."""

from abc import ABC, abstractmethod
from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from heapq import heapify, heappop, heappush, heapreplace
from typing import Any, Generic, TypeVar

Moment = TypeVar("Moment", int, datetime)
What = TypeVar("What", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Due(Generic[Moment, What]):
    """Something that must begin between two moments; sorted by the later one, then by ``tie``."""

    what: What
    opens_at: Moment
    lapses_at: Moment
    tie: tuple[Any, ...]

    def __lt__(self, other: "Due[Moment, What]") -> bool:
        return (self.lapses_at, self.tie) < (other.lapses_at, other.tie)


class LookAhead(ABC, Generic[Moment, What]):
    """Everybody does what is due, soonest lapse first; each piece begun makes others due.

    Subclasses say what a piece of work waits for and what follows it. A piece that one touch may begin with others is
    begun together with them if it would come too late after them.
    """

    def late(self, due: Iterable[Due[Moment, What]], hands: Iterable[Moment]) -> Iterator[Due[Moment, What]]:
        """Yield what begins too late; ``hands``: when each pair of hands becomes free."""
        waiting, free = list(due), [(moment, hand) for hand, moment in enumerate(hands)]
        heapify(waiting)
        heapify(free)
        touched: dict[Hashable, tuple[Moment, int]] = {}
        seen: set[What] = set()
        while waiting:
            now = heappop(waiting)
            if now.what in seen:  # its tightest moment came first; where waits go round, this ends the circle
                continue
            seen.add(now.what)
            by_hand, touch = bool(free) and self.takes_hands(now.what), self.touch_of(now.what)
            begins = self.begins(now, free[0][0] if by_hand else None)
            if begins <= now.lapses_at:
                ends = self.ends(now.what, begins)
                if by_hand:
                    touched[touch] = begins, free[0][1]
                    heapreplace(free, (ends, free[0][1]))
            elif touch in touched and now.opens_at <= touched[touch][0] <= now.lapses_at:
                begins, hand = touched[touch]
                until = self.ends(now.what, next(moment for moment, other in free if other == hand))
                free = [(until if other == hand else moment, other) for moment, other in free]
                heapify(free)
                ends = self.touch_ends(begins, until)
            else:
                yield now
                continue
            for follows in self.follow(now.what, begins, ends):
                heappush(waiting, follows)

    @abstractmethod
    def takes_hands(self, what: What) -> bool:
        """Whether a person is needed for this."""

    @abstractmethod
    def touch_of(self, what: What) -> Hashable:
        """Return a key that is the same for everything that one touch may begin together."""

    @abstractmethod
    def begins(self, due: Due[Moment, What], free_from: Moment | None) -> Moment:
        """Return when this begins; ``free_from``: when hands are free, None if it needs none."""

    @abstractmethod
    def ends(self, what: What, begins: Moment) -> Moment:
        """Return when this ends, given that it begins at that moment; may record that it does."""

    def touch_ends(self, begins: Moment, ends: Moment) -> Moment:
        """Return when a touch on several zones must be taken to end, if it should end at ``ends``."""
        return ends

    @abstractmethod
    def follow(self, what: What, begins: Moment, ends: Moment) -> Iterable[Due[Moment, What]]:
        """Return what becomes due by this."""
