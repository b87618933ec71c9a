"""Visits the states of a small job one by one, each judged by the gate itself: to hold the quicker search against."""

from collections import deque
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import datetime

from bayapp.job import BayState, Job
from bayapp.job.state.requests import Request
from tests.liveness.moves import done, following, opened


@dataclass
class OneByOne:
    """The states that were met, by number.

    Attributes:
        moves: for each state what follows: the touch, or none where time passes, and the number of the state.
        ends: states in which nothing is left to do.
    """

    states: list[tuple[BayState, datetime]] = field(default_factory=list)
    moves: list[list[tuple[Request | None, int]]] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)

    @property
    def dead(self) -> frozenset[int]:
        """The states from which no way leads to the end."""
        before: list[list[int]] = [[] for _ in self.moves]
        for number, after in enumerate(self.moves):
            for _, other in after:
                before[other].append(number)
        alive, left = set(self.ends), list(self.ends)
        while left:
            for number in before[left.pop()]:
                if number not in alive:
                    alive.add(number)
                    left.append(number)
        return frozenset(range(len(self.moves))) - alive


def one_by_one(
    job: Job, key: Callable[[BayState, datetime], Hashable], allowed: Callable[[Request], bool] = lambda request: True
) -> OneByOne:
    """Return every state of a job that is reached from one instant at which a verdict changes to the next.

    Args:
        key: what tells states apart.
        allowed: which touches are made at all.
    """
    found = OneByOne()
    numbers: dict[Hashable, int] = {}
    left: deque[int] = deque()

    def number_of(state: BayState, at: datetime) -> int:
        number = numbers.setdefault(key(state, at), len(numbers))
        if number == len(found.states):
            found.states.append((state, at))
            found.moves.append([])
            left.append(number)
        return number

    number_of(opened(job), job.start)
    while left:
        number = left.popleft()
        state, at = found.states[number]
        if done(state):
            found.ends.append(number)
        for request, then, after in following(state, at, allowed):
            found.moves[number].append((request, number_of(after, then)))
    return found
