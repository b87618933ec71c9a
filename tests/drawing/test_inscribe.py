"""Distances and largest circles against shapes whose answer is school geometry."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.drawing.inscribe import Outline, largest_circle

FAR = (0.0, 0.0)


def square(size: float, x: float = 0.0, y: float = 0.0) -> list[tuple[float, float]]:
    return [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]


def test_distance_is_positive_inside_and_negative_outside() -> None:
    outline = Outline([square(10)])
    assert outline.signed_distance(5, 5) == 5
    assert outline.signed_distance(2, 5) == 2
    assert outline.signed_distance(-3, 5) == -3
    assert outline.signed_distance(13, 14) == -5


def test_a_hole_is_outside() -> None:
    ring = Outline([square(30), square(10, 10, 10)])
    assert ring.signed_distance(15, 15) == -5
    assert ring.signed_distance(5, 15) == 5


# Heron: the inscribed circle of a 3-4-5 triangle has radius area / half the perimeter = 6 / 6 = 1.
def test_the_circle_in_a_three_four_five_triangle_has_radius_one_in_proportion() -> None:
    triangle = [(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)]
    found = largest_circle(Outline([triangle]), FAR)
    assert found.radius == pytest.approx(100, abs=0.5)
    assert (found.x, found.y) == pytest.approx((100, 100), abs=4)


def test_a_long_strip_is_marked_in_its_middle() -> None:
    strip = Outline([[(0, 0), (900, 0), (900, 20), (0, 20)]])
    found = largest_circle(strip, (450, 500))
    assert found.x == pytest.approx(450, abs=25)
    assert found.radius == pytest.approx(10, abs=0.5)


def test_two_separate_parts_are_marked_in_the_larger() -> None:
    found = largest_circle(Outline([square(20), square(60, 100, 100)]), FAR)
    assert found.x > 100
    assert found.radius == pytest.approx(30, abs=0.8)


@given(
    width=st.floats(20, 800),
    height=st.floats(20, 800),
    turn=st.floats(0, math.pi),
)
def test_the_circle_in_any_turned_rectangle_is_half_its_short_side(width: float, height: float, turn: float) -> None:
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    outline = Outline([[(x * cos - y * sin, x * sin + y * cos) for x, y in corners]])
    found = largest_circle(outline, FAR)
    slack = 0.6 + 0.05 * max(width, height)
    assert min(width, height) / 2 - slack <= found.radius <= min(width, height) / 2 + 1e-6
    assert outline.signed_distance(found.x, found.y) == pytest.approx(found.radius)
