"""From every state that accepted touches reach, the work can be brought to its end without a deviation.

``python packaging/liveness.py states`` visits the larger jobs too.
"""

import pytest

from bayapp.job import Job
from bayapp.job.state.requests import CloseSet, Cover, Request, Uncover
from tests.liveness.dead_ends import DeadEnds
from tests.liveness.every_state import EveryState
from tests.liveness.small_jobs import JOBS, pairs, small_job
from tests.liveness.states import counted, told

SMALLEST = (
    "pane",
    "pane in three layers",
    "rim",
    "panel",
    "panel in one layer",
    "panel whose buff has no way back",
    "two panels, a coat before the polish",
    "two panels apart, a coat before the polish",
    "two panels whose buff has no way back",
    "pane and rim, short",
    "pane and rim",
    "two panes, short",
)
"""Jobs of some hundred situations, each visited in a second or two."""
LARGE = ("two panes, three layers and one",)
"""Jobs for an evening: ``packaging/liveness.py states``."""
LARGER = [name for name in JOBS if name not in (*SMALLEST, *LARGE)]


def assert_alive(name: str, job: Job) -> None:
    states = EveryState(job)
    states.visit_all()
    ends = DeadEnds(states)
    print(f"\n{name}, {len(job.crew)} at work: {counted(ends)}")
    assert ends.ends
    assert not ends.dead, "\n".join(told(ends))


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("name", SMALLEST)
def test_every_state_has_a_way_to_the_end(name: str, people: int):
    assert_alive(name, small_job(name, people))


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("name", LARGER)
def test_every_state_of_a_larger_job_has_a_way_to_the_end(name: str, people: int):
    assert_alive(name, small_job(name, people))


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_every_state_of_two_zones_by_any_two_shipped_recipes_has_a_way_to_the_end():
    for name, job in pairs().items():
        assert_alive(name, job)


def assert_alive_where_sent_back(name: str, people: int) -> None:
    states = EveryState(small_job(name, people), sent_back=True)
    states.visit_all()
    ends = DeadEnds(states)
    print(f"\n{name}, sent back, {people} at work: {counted(ends)}")
    assert not ends.dead, "\n".join(told(ends))


@pytest.mark.parametrize("name", ["pane", "panel", "two panels apart, a coat before the polish"])
def test_zones_that_were_sent_back_have_a_way_to_the_end_without_being_sent_back_again(name: str):
    assert_alive_where_sent_back(name, 2)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("name", ["pane and rim", "two panes, short"])
def test_zones_of_a_larger_job_that_were_sent_back_have_a_way_to_the_end(name: str):
    assert_alive_where_sent_back(name, 1)


def nothing_frees(request: Request) -> bool:
    """Whether a touch neither covers a coat nor closes a set early, which is what frees a way that is closed."""
    return not isinstance(request, Cover | Uncover | CloseSet)


def test_a_dead_end_is_told_with_the_touches_that_lead_to_it_and_what_is_refused_there():
    states = EveryState(small_job("two panels apart, a coat before the polish", 1), nothing_frees)
    states.visit_all()
    first, *rest = told(DeadEnds(states))
    assert first == "closed by: begin sealer, or by leaving it as it is then"
    assert rest[0].endswith("Ash: begin sealer on bonnet")
    assert rest[-1].startswith("  refused for good: polish on bonnet: Dust would fall on the fresh coat of roof.")
