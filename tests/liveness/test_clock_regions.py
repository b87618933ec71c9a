"""Two states of one key are judged alike now and ever after: the same moves lead to states of the same keys.

That is what makes one of them stand for the other (a bisimulation; Alur and Dill 1994, lemma 4.13 for clock regions).
The states compared are told apart by every age of every run, to the millisecond.
"""

from collections import defaultdict, deque
from collections.abc import Iterator
from datetime import datetime

import pytest

from bayapp.job import BayState, Job
from tests.liveness.clock_regions import Key, Regions
from tests.liveness.moves import following, opened
from tests.liveness.small_jobs import small_job


def exactly(state: BayState, at: datetime) -> object:
    """Return all that may matter of a state, with nothing left out that has not long been over."""
    (car,) = state.jobs.values()
    return tuple(
        (
            zone,
            tuple((r.step, at - r.started_at, at - r.finished_at if r.finished_at else None) for r in z.rungs),
            tuple((r.step, at - r.started_at, at - r.finished_at if r.finished_at else None) for r in z.runs),
            (z.running.step, z.running.by, at - z.running.started_at) if z.running else None,
            (z.covered is not None, z.without),
        )
        for zone, z in car.zones.items()
    )


def visited(job: Job, most: int) -> Iterator[tuple[BayState, datetime]]:
    """Yield the first states that are met, told apart exactly."""
    left = deque([(opened(job), job.start)])
    known = {exactly(*left[0])}
    while left and most:
        most -= 1
        state, at = left.popleft()
        yield state, at
        for _, then, after in following(state, at):
            if (found := exactly(after, then)) not in known:
                known.add(found)
                left.append((after, then))


@pytest.mark.parametrize(
    "name", ["rim", "panel whose buff has no way back", "pane and rim, short", "two panes in any order"]
)
def test_the_same_moves_lead_from_states_of_one_key_to_states_of_one_key(name: str):
    job = small_job(name, 2)
    regions = Regions(opened(job))
    next_keys: dict[Key, set[frozenset[Key]]] = defaultdict(set)
    count = 0
    for state, at in visited(job, 800):
        count += 1
        next_keys[regions.key(state, at)].add(
            frozenset(regions.key(after, then) for _, then, after in following(state, at))
        )
    assert count > 2 * len(next_keys), "hardly any two of them have one key"
    assert [key for key, nexts in next_keys.items() if len(nexts) > 1] == []
