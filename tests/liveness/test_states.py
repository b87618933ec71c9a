"""From every state that accepted touches reach, the work can be brought to its end without a deviation.

``python packaging/liveness.py states`` visits the larger jobs too.
"""

import pytest

from tests.liveness.explore import done, explore, refusals, replayed
from tests.liveness.small_jobs import small_job
from tests.liveness.states import told

ALIVE = (
    ("pane", 1),
    ("pane in three layers", 1),
    ("rim", 1),
    ("panel", 1),
    ("two panels, a coat before the polish", 1),
    ("two panels, a coat before the polish", 2),
    ("pane and rim, short", 1),
    ("pane and rim, short", 2),
)
"""Those of the small jobs, by how many people work on them, that are known to have no dead end; to be all of them."""


@pytest.mark.parametrize(("name", "people"), ALIVE)
def test_every_state_has_a_way_to_the_end(name: str, people: int):
    space = explore(small_job(name, people))
    print(f"\n{name}, {people} at work: {len(space.moves)} states")
    assert space.ends
    assert not space.dead, "\n".join(told(space))


def test_a_state_without_a_way_to_the_end_is_found_with_the_shortest_path_to_it():
    """A held zone needs a deviation in the end: a buff that has no way back, four touches and its hour later."""
    space = explore(small_job("panel whose buff has no way back", 1))
    (dead,) = space.dead
    path = space.path(dead)
    assert [move.kind for move in path] == [
        *(f"{act} {step}" for step in ("polish", "wipe", "coat") for act in ("begin", "done")),
        *["time passes"] * 3,
    ]
    state, at = replayed(space.job, path)
    assert refusals(state, at)
    assert not done(state)
