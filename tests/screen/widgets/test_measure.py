"""Real millimetres: what the shop says, what the screen says, what is usual, in this order."""

from dataclasses import astuple, dataclass
from itertools import combinations
from math import hypot

import pytest
from PySide6.QtCore import QRectF, QSize, QSizeF

from bayapp.screen.widgets.measure import LEAST_WIDTH, MOST_WIDTH, Measure, board_layout, fitted, measure_of, read_from


@dataclass
class Said:
    """A screen that says of itself what it is told to."""

    px: tuple[int, int]
    mm: tuple[float, float]

    def size(self) -> QSize:
        return QSize(*self.px)

    def physicalSize(self) -> QSizeF:  # noqa: N802 (Qt's name)
        return QSizeF(*self.mm)


HD = (1920, 1080)


def test_pixels_per_millimetre_of_known_screens():
    """21.5 inch 1920x1080 has 4.034 px/mm, 32 inch 4K has 5.421: from width, height and diagonal by Pythagoras."""
    assert measure_of(None, *HD, 21.5).px_per_mm == pytest.approx(4.034, abs=0.0005)
    assert measure_of(None, 3840, 2160, 32).px_per_mm == pytest.approx(5.421, abs=0.0005)


def test_what_the_shop_says_counts_before_what_the_screen_says():
    lies = Said(HD, (300, 170))
    assert measure_of(lies, *HD, 27) == measure_of(None, *HD, 27)  # type: ignore[arg-type]


def test_what_the_screen_says_counts_unless_it_is_absurd():
    honest = Said(HD, (531.4, 298.9))
    assert measure_of(honest, *HD).px_per_mm == pytest.approx(hypot(*HD) / (24 * 25.4), rel=0.001)  # type: ignore[arg-type]
    for absurd in ((0, 0), (16, 9), (1600, 900 * 3), (100, 60)):
        assert measure_of(Said(HD, absurd), *HD) == measure_of(None, *HD, 27)  # type: ignore[arg-type]


def test_a_window_that_is_too_small_shrinks_the_millimetre_and_one_beyond_32_inches_grows_it():
    real = measure_of(None, *HD, 27)
    assert fitted(real, *HD) == real
    assert fitted(real, 960, 540).px_per_mm < real.px_per_mm
    assert fitted(measure_of(None, 3840, 2160, 32), 3840, 2160).px_per_mm == pytest.approx(5.421, abs=0.001)
    large = measure_of(None, 3840, 2160, 46)
    assert fitted(large, 3840, 2160).px_per_mm == pytest.approx(3840 / MOST_WIDTH)
    assert fitted(large, 3840, 1080).px_per_mm == pytest.approx(large.px_per_mm), "a strip keeps real millimetres"


def test_letters_grow_as_the_shop_says_and_as_far_as_the_screen_allows():
    real = measure_of(None, *HD, 27)
    assert read_from(real, 3.0, 1.1).px_per_mm == pytest.approx(real.px_per_mm * 1.1)
    assert fitted(read_from(real, 3.0, 2.0), *HD).px_per_mm == pytest.approx(1920 / LEAST_WIDTH)


@pytest.mark.parametrize("width", range(500, 1_100, 50))
@pytest.mark.parametrize("shape", [16 / 9, 16 / 10, 4 / 3])
def test_the_parts_of_the_board_never_overlap_and_stay_inside(width: int, shape: float):
    height = width / shape
    if height < 281:
        return
    plan = board_layout(width, height)
    parts = (plan.strip, plan.car, plan.legend, plan.column, plan.bar)
    whole = QRectF(0, 0, width, height)
    assert all(whole.contains(p) for p in parts)
    assert not any(a.intersects(b) for a, b in combinations(parts, 2))
    assert plan.bar.height() >= 30
    assert all(p.width() > 25 and p.height() > 25 for p in parts)
    assert plan.page.contains(plan.car)
    assert not plan.page.intersects(plan.column)
    assert board_layout(width, height, alerts=True).page == plan.car, "an alert is never hidden"
    assert len(astuple(plan)) == 6


def test_a_rectangle_in_millimetres_becomes_whole_pixels():
    rect = Measure(3.5).rect(QRectF(1, 1, 10, 10))
    assert rect == QRectF(rect.toRect())
