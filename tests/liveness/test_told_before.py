"""A touch after which nobody could go on is told to close the way before it is made, and no other touch is.

Held against every state of small jobs in which nobody covers a coat and closes no set early: there a way may be closed.
"""

from collections import deque
from dataclasses import dataclass, field
from datetime import datetime

import pytest

from bayapp.job import BayState, Start, gate
from bayapp.job.shut_out.shut_out import shut_out
from bayapp.job.state.requests import CloseSet, Cover, Uncover
from tests.liveness.clock_regions import Key, Regions
from tests.liveness.explore import NONE, Space, done, following, opened, touches
from tests.liveness.small_jobs import small_job

FREES = Cover | Uncover | CloseSet


@dataclass
class Begun:
    """Every start that was accepted: from which state, and to which."""

    space: Space
    starts: list[tuple[int, int, Start]] = field(default_factory=list)
    states: list[tuple[BayState, datetime]] = field(default_factory=list)


def explored(name: str, people: int) -> Begun:
    """Visit every state that is reached without the steps that free a closed way."""
    job = small_job(name, people)
    first = opened(job)
    regions, found = Regions(first), Begun(Space(job))
    numbers: dict[Key, int] = {}
    left: deque[int] = deque()

    def number_of(state: BayState, at: datetime) -> int:
        number = numbers.setdefault(regions.key(state, at), len(numbers))
        if number == len(found.states):
            found.states.append((state, at))
            found.space.moves.append([])
            found.space.came_from.append((NONE, None))
            left.append(number)
        return number

    number_of(first, job.start)
    while left:
        number = left.popleft()
        state, at = found.states[number]
        if done(state):
            found.space.ends.append(number)
        accepted = [request for request in touches(state, at) if gate(state, request, at).accepted]
        for request, (move, after) in zip([*accepted, None], following(state, at), strict=False):
            if isinstance(request, FREES):
                continue
            other = number_of(after, move.at)
            found.space.moves[number].append(other)
            if isinstance(request, Start):
                found.starts.append((number, other, request))
    return found


SMALL = (
    ("two panels apart, a coat before the polish", 1),
    ("two panels apart, a coat before the polish", 2),
    ("two panes in any order", 1),
    ("two panes, short", 1),
)


@pytest.mark.parametrize(("name", "people"), SMALL)
def test_exactly_the_touches_that_close_the_way_are_told_to_close_it(name: str, people: int):
    found = explored(name, people)
    dead, closing, told = found.space.dead, [], []
    alive = [(number, other, start) for number, other, start in found.starts if number not in dead]
    for number, other, start in alive:
        state, at = found.states[number]
        closing += [(number, start)] if other in dead else []
        told += [(number, start)] if shut_out(state, start, at).closes_the_way else []
    print(
        f"\n{name}, {people} at work: {len(found.states)} states, {len(dead)} dead, {len(closing)} starts close the way"
    )
    assert closing, "without a cover the way can be closed in this job"
    assert told == closing
