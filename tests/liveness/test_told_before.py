"""A touch after which nobody could go on is told to close the way before it is made, and no other touch is.

Held against every state of small jobs in which nobody covers a coat and closes no set early: there a way may be closed.
"""

import pytest

from bayapp.job import Start
from bayapp.job.shut_out.shut_out import shut_out
from bayapp.job.state.requests import CloseSet, Cover, Request, Uncover
from tests.liveness.clock_regions import Regions
from tests.liveness.moves import opened
from tests.liveness.one_by_one import one_by_one
from tests.liveness.small_jobs import small_job

FREES = Cover | Uncover | CloseSet


def frees_nothing(request: Request) -> bool:
    return not isinstance(request, FREES)


SMALL = (
    ("two panels apart, a coat before the polish", 1),
    ("two panels apart, a coat before the polish", 2),
    ("two panes in any order", 1),
    ("two panes, short", 1),
)


@pytest.mark.parametrize(("name", "people"), SMALL)
def test_exactly_the_touches_that_close_the_way_are_told_to_close_it(name: str, people: int):
    job = small_job(name, people)
    found = one_by_one(job, Regions(opened(job)).key, frees_nothing)
    dead, closing, told = found.dead, [], []
    starts = [(n, other, start) for n, moves in enumerate(found.moves) for start, other in moves if n not in dead]
    for number, other, start in starts:
        if isinstance(start, Start):
            state, at = found.states[number]
            closing += [(number, start)] if other in dead else []
            told += [(number, start)] if shut_out(state, start, at).closes_the_way else []
    print(
        f"\n{name}, {people} at work: {len(found.states)} states, {len(dead)} dead, {len(closing)} starts close the way"
    )
    assert closing, "without a cover the way can be closed in this job"
    assert told == closing
