"""Badges are told apart by silhouette alone, also small; layers can be counted."""

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF

from bayapp.drawing.badges import BadgeColours, badge_on_plate, badge_on_slab, paint_badge, paint_strata
from bayapp.drawing.colour_math import contrast
from bayapp.drawing.palette import PALETTES, Palette
from bayapp.job.model.ids import Urgency
from tests.drawing.support.pictures import Picture, painted

WHITE_ON_BLACK = BadgeColours("#ffffff", "#555555", "#000000")


def badge(urgency: Urgency, size: int = 48, fraction: float = 0.6) -> Picture:
    box = QRectF(0, 0, size, size)
    return painted(size, size, lambda painter: paint_badge(painter, urgency, box, WHITE_ON_BLACK, fraction))


@pytest.mark.parametrize("size", [12, 48])
def test_silhouettes_differ_in_a_fifth_of_the_ink_or_more(size: int) -> None:
    """A badge of 34 px on the wall is about 12 of the smallest details an eye resolves at 3 m (2.8 px each)."""
    inked = {urgency: badge(urgency, size).max(axis=2) > 128 for urgency in Urgency}
    for one, other in combinations(Urgency, 2):
        differing = np.count_nonzero(inked[one] ^ inked[other])
        assert differing >= 0.2 * max(np.count_nonzero(inked[one]), np.count_nonzero(inked[other])), (one, other)


def test_the_bright_arc_of_the_ring_is_the_share_of_the_wait_that_is_left() -> None:
    def bright(fraction: float) -> int:
        return int(np.count_nonzero(badge(Urgency.WAITING, 96, fraction).min(axis=2) > 200))

    whole = bright(1.0)
    for fraction in (0.25, 0.5, 0.75):
        assert bright(fraction) / whole == pytest.approx(fraction, abs=0.03)
    assert bright(0.0) == bright(-1.0) == 0
    assert bright(2.0) == whole


def test_the_arc_starts_at_the_top_and_runs_clockwise() -> None:
    ring = badge(Urgency.WAITING, 96, 0.25).min(axis=2) > 200
    right_top, left_top = ring[:48, 48:], ring[:48, :48]
    bright, dark = int(np.count_nonzero(right_top)), int(np.count_nonzero(left_top))
    assert bright > 50 * max(1, dark)


@pytest.mark.parametrize("urgency", Urgency)
def test_a_badge_stays_in_its_box(urgency: Urgency) -> None:
    box = QRectF(20, 20, 40, 40)
    picture = painted(80, 80, lambda painter: paint_badge(painter, urgency, box, WHITE_ON_BLACK))
    inked = np.argwhere(picture.max(axis=2) > 60)
    assert inked.min() >= 19
    assert inked.max() <= 60


@pytest.mark.parametrize(("layers", "planned"), [(0, 2), (1, 0), (2, 3), (3, 3), (5, 5)])
def test_layers_laid_are_counted_in_bright_bars_and_those_planned_in_faint_ones(layers: int, planned: int) -> None:
    box = QRectF(0, 0, 20, 60)
    picture = painted(20, 60, lambda painter: paint_strata(painter, box, layers, planned, "#ffffff", "#555555"))
    column = picture[:, 10, 0]
    bright, any_bar = (column > 180).astype(int), (column > 50).astype(int)
    assert np.count_nonzero(np.diff(bright, prepend=0) == 1) == layers
    assert np.count_nonzero(np.diff(any_bar, prepend=0) == 1) == max(layers, planned)


def test_the_first_layer_lies_at_the_bottom() -> None:
    box = QRectF(0, 0, 20, 60)
    picture = painted(20, 60, lambda painter: paint_strata(painter, box, 1, 0, "#ffffff", "#555555"))
    assert np.argwhere(picture[:, 10, 0] > 180).min() > 40


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_the_shape_stands_out_from_plate_and_slab(palette: Palette) -> None:
    for urgency in Urgency:
        for colours in (badge_on_plate(palette, urgency), badge_on_slab(palette, urgency)):
            assert contrast(colours.shape, colours.ground) >= 3.0, urgency
