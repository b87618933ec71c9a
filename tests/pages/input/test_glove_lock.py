"""What unlocks a locked screen, and what never does. The glass is played with by numbers alone."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.pages.input.glove_lock import Holding, HoldToUnlock


def s(seconds: float) -> timedelta:
    return timedelta(seconds=seconds)


@pytest.mark.parametrize(("held", "unlocks"), [(0.1, False), (1.999, False), (2.0, True), (8.0, True), (8.001, False)])
def test_two_seconds_unlock_and_less_or_what_lies_there_does_not(held: float, unlocks: bool):
    glass = HoldToUnlock()
    glass.down(1, 10, 10, True, s(5))
    assert glass.up(1, s(5 + held)) is unlocks


def test_it_is_said_how_the_hold_stands():
    glass = HoldToUnlock()
    assert glass.holding(s(0)) is Holding.NOTHING
    glass.down(1, 10, 10, True, s(0))
    assert (glass.holding(s(1)), glass.share(s(1))) == (Holding.KEPT, 0.5)
    assert (glass.holding(s(2)), glass.share(s(3))) == (Holding.ENOUGH, 1.0)
    assert (glass.holding(s(9)), glass.share(s(9))) == (Holding.SPOILED, 0.0)


def test_a_touch_beside_the_mark_never_unlocks():
    glass = HoldToUnlock()
    glass.down(1, 10, 10, False, s(0))
    assert not glass.up(1, s(3))


@pytest.mark.parametrize(("way", "unlocks"), [(0, True), (10, True), (10.1, False), (200, False)])
def test_a_finger_may_roll_and_a_wiping_hand_does_not_unlock_even_where_it_returns(way: float, unlocks: bool):
    glass = HoldToUnlock()
    glass.down(1, 0, 0, True, s(0))
    glass.moved(1, way, 0)
    glass.moved(1, 0, 0)
    assert glass.up(1, s(3)) is unlocks


def test_two_touches_at_once_never_unlock_in_whatever_order_they_leave():
    for first, second in ((1, 2), (2, 1)):
        glass = HoldToUnlock()
        glass.down(1, 0, 0, True, s(0))
        glass.down(2, 5, 0, True, s(1))
        assert not glass.up(first, s(3))
        assert not glass.up(second, s(7)), "the one that stays was never alone from its beginning"
        glass.down(1, 0, 0, True, s(8))
        assert glass.up(1, s(10)), "a free glass is a new beginning"


TOUCHES = st.lists(
    st.tuples(st.integers(1, 3), st.sampled_from(["down", "up", "moved"]), st.floats(0, 60), st.floats(0.05, 4)),
    max_size=30,
)


@given(touches=TOUCHES)
def test_whatever_water_does_it_unlocks_only_by_one_still_touch_alone(touches: list[tuple[int, str, float, float]]):
    """Against a plain account of every touch: alone, on the mark, still, 2 to 8 s."""
    glass, at = HoldToUnlock(), 0.0
    down: dict[int, tuple[float, float]] = {}
    pure = True
    for touch, what, x, pause in touches:
        at += pause
        if what == "down" and touch not in down:
            pure = not down
            down[touch] = x, at
            glass.down(touch, x, 0, True, s(at))
        elif what == "moved" and touch in down:
            pure = pure and abs(x - down[touch][0]) <= 10
            glass.moved(touch, x, 0)
        elif what == "up" and touch in down:
            began = down.pop(touch)[1]
            held = s(at) - s(began)
            assert glass.up(touch, s(at)) is (pure and not down and s(2) <= held <= s(8))
