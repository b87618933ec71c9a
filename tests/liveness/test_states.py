"""From every state that accepted touches reach, the work can be brought to its end without a deviation.

``python packaging/liveness.py states`` visits the larger jobs too.
"""

from datetime import UTC, datetime

import pytest

from tests.liveness.explore import NONE, Move, Space, closing, explore, refusals, replayed
from tests.liveness.small_jobs import JOBS, small_job
from tests.liveness.states import told

SMALLEST = (
    ("pane", 1),
    ("rim", 1),
    ("panel", 1),
    ("panel whose buff has no way back", 1),
    ("two panels, a coat before the polish", 2),
    ("two panels apart, a coat before the polish", 1),
    ("two panels apart, a coat before the polish", 2),
    ("two panels whose buff has no way back", 2),
    ("pane and rim, short", 1),
    ("two panes, short", 1),
)
"""Jobs and how many people work on them: some thousand states at most."""
LARGE = ("two panes, three layers and one", "two panes and a rim, short", "pane and rim")
"""Jobs for an evening: ``packaging/liveness.py states``."""
LARGER = [(name, people) for name in JOBS if name not in LARGE for people in (1, 2) if (name, people) not in SMALLEST]


def assert_alive(name: str, people: int) -> None:
    space = explore(small_job(name, people))
    print(f"\n{name}, {people} at work: {len(space.moves)} states")
    assert space.ends
    assert not space.dead, "\n".join(told(space))


@pytest.mark.parametrize(("name", "people"), SMALLEST)
def test_every_state_has_a_way_to_the_end(name: str, people: int):
    assert_alive(name, people)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize(("name", "people"), LARGER)
def test_every_state_of_a_larger_job_has_a_way_to_the_end(name: str, people: int):
    assert_alive(name, people)


def test_a_state_without_a_way_to_the_end_is_found_with_the_shortest_path_to_it():
    """From 0 lead ways to 1, where all is done, and over 2 to 3 and 4, which only lead to each other."""
    at = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
    space = Space(small_job("pane", 1))
    space.came_from = [
        (NONE, None),
        *((before, Move(at, f"to {n}", "")) for n, before in ((1, 0), (2, 0), (3, 2), (4, 3))),
    ]
    space.moves = [[1, 2], [], [0, 3], [4], [3]]
    space.ends = [1]
    assert space.dead == {3, 4}
    assert closing(space) == [3]
    assert [move.words for move in space.path(4)] == ["to 2", "to 3", "to 4"]


def test_a_path_can_be_walked_again_and_what_is_refused_at_its_end_is_told():
    space = explore(small_job("pane", 1))
    early = next(n for n in range(len(space.moves)) if space.path(n) and space.path(n)[-1].kind == "done coat-1")
    assert ["buff on windscreen" in sentence for sentence in refusals(*replayed(space.job, space.path(early)))] == [
        True
    ]
