"""Words on a texture stand in a halo, upright or turned."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF

from bayapp.drawing.lettering import Lettering, font_of, paint_haloed, words_size
from tests.drawing.support.pictures import is_colour, painted

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.mark.parametrize("turned", [False, True])
def test_letters_touch_nothing_but_their_halo(turned: bool) -> None:
    font = font_of("DejaVu Sans", 30)

    def draw(painter):
        paint_haloed(painter, QPointF(100, 100), "roof", Lettering(font, "#ffffff", "#0000ff", turned))

    picture = painted(200, 200, draw, ground="#00ff00")
    letters, ground = is_colour(picture, "#ffffff"), is_colour(picture, "#00ff00")
    assert letters.sum() > 100
    for step, axis in ((-2, 0), (2, 0), (-2, 1), (2, 1)):
        assert not np.any(letters & np.roll(ground, step, axis))
    rows, columns = np.nonzero(letters)
    assert (np.ptp(rows) > np.ptp(columns)) == turned
    assert (rows.min() + rows.max()) / 2 == pytest.approx(100, abs=6)


def test_words_are_measured_by_their_advance_and_capitals() -> None:
    font = font_of("DejaVu Sans", 30)
    assert words_size("roof roof", font).width() > 2 * words_size("roof", font).width()
    assert 15 <= words_size("x", font).height() <= 30
