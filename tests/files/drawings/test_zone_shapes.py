"""Figures of path data, against areas that are known without this program."""

from math import acos, pi, sqrt

import pytest

from bayapp.files.drawings.zone_shapes import figure_of, shapes_of

KAPPA = 4 / 3 * (sqrt(2) - 1)
"""How far the handles of a quarter circle reach; the usual four-curve circle is then at most 0.03 % too large
(M. Goldapp, "Approximation of circular arcs by cubic polynomials", 1991; from memory)."""


def circle(x: float, y: float, r: float) -> str:
    k = KAPPA * r
    return (
        f"M{x + r} {y} C{x + r} {y + k} {x + k} {y + r} {x} {y + r} C{x - k} {y + r} {x - r} {y + k} {x - r} {y} "
        f"C{x - r} {y - k} {x - k} {y - r} {x} {y - r} C{x + k} {y - r} {x + r} {y - k} {x + r} {y} Z"
    )


def lens(d: float, r: float) -> float:
    """The area two circles share (E. W. Weisstein, "Circle-Circle Intersection", MathWorld; from memory)."""
    return 2 * r**2 * acos(d / (2 * r)) - d / 2 * sqrt(4 * r**2 - d**2)


def test_a_box_of_lines_has_the_area_of_its_sides():
    assert figure_of("M10 20 L40 20 L40 60 L10 60 Z").area == pytest.approx(30 * 40)


def test_a_circle_of_four_curves_has_the_area_of_a_circle():
    assert figure_of(circle(50, 50, 40)).area == pytest.approx(pi * 40**2, rel=1e-3)


def test_a_ring_is_what_lies_between_its_circles():
    assert figure_of(f"{circle(0, 0, 40)} {circle(0, 0, 30)}").area == pytest.approx(pi * (40**2 - 30**2), rel=1e-3)


@pytest.mark.parametrize("apart", [10.0, 40.0, 70.0])
def test_two_circles_share_what_geometry_says(apart: float):
    shared = figure_of(circle(0, 0, 40)).intersection(figure_of(circle(apart, 0, 40)))
    assert shared.area == pytest.approx(lens(apart, 40), rel=3e-3)


def test_circles_lie_as_far_apart_as_their_middles_less_their_radii():
    assert figure_of(circle(0, 0, 30)).distance(figure_of(circle(100, 0, 40))) == pytest.approx(30, abs=0.05)


def test_coordinates_may_be_written_without_spaces():
    assert figure_of("M0,0L10-0L10,10L0,1e1Z").area == pytest.approx(100)


@pytest.mark.parametrize("data", ["", "M0 0 Z", "M0 0 L10 0 Z"])
def test_a_path_of_less_than_three_points_encloses_nothing(data: str):
    assert figure_of(data).area == 0


@pytest.mark.parametrize(
    "data", ["L0 0 L10 0 L10 10 Z", "1 2 M0 0 Z", "M0 0 C1 1 2 2 Z", "M0 L1 1 Z", "M Z", "M0 0 L9 9 Z 3 3"]
)
def test_numbers_that_are_missing_or_too_many_are_refused(data: str):
    with pytest.raises(ValueError, match=r".*"):
        figure_of(data)


def test_a_drawing_tells_which_of_its_paths_cannot_be_read():
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="{}"><g id="zones"><path id="a" d="M0 L1 1 Z"/></g></svg>'
    with pytest.raises(ValueError, match=r"^a$"):
        shapes_of(svg.format("0 0 10 10"))
    with pytest.raises(ValueError, match=r"^viewBox$"):
        shapes_of(svg.format("0 0 10"))


def test_the_page_is_the_view_box_wherever_it_begins():
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-5,-5 20 10"><g id="zones"/></svg>'
    shapes = shapes_of(svg)
    assert shapes.page.bounds == (-5, -5, 15, 5)
    assert shapes.width == 20
    assert shapes.body.is_empty
