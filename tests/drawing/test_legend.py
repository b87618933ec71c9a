"""The legend shows every texture and badge in two rows and shrinks rather than spill."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF

from bayapp.drawing.legend import LegendWords, paint_legend
from bayapp.drawing.palette import DARK, LIGHT, PALETTES, Palette
from bayapp.job.model.ids import Motion, Stage, Urgency
from tests.drawing.support.pictures import is_colour, painted

pytestmark = pytest.mark.usefixtures("qapp")
BOX = QRectF(20, 20, 1160, 76)


def words(stretch: int = 1) -> LegendWords:
    textures = tuple((s, (Motion.VERTICAL,) if s is Stage.COATED else (), s.value * stretch) for s in Stage)
    return LegendWords("surface", textures, "clock", tuple((u, u.value * stretch) for u in Urgency))


@pytest.mark.parametrize("stretch", [1, 4])
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_it_stays_inside_its_box_even_with_long_words(palette: Palette, stretch: int) -> None:
    def draw(painter):
        paint_legend(painter, BOX, palette, words(stretch), "DejaVu Sans")

    inked = np.argwhere(~is_colour(painted(1200, 120, draw, palette.board), palette.board))
    assert inked[:, 0].min() >= BOX.top() - 1
    assert inked[:, 0].max() <= BOX.bottom() + 1
    assert inked[:, 1].min() >= BOX.left() - 1
    assert inked[:, 1].max() <= BOX.right() + 1


@pytest.mark.parametrize("palette", [DARK, LIGHT], ids=["dark", "light"])
def test_every_state_shows_its_colour(palette: Palette) -> None:
    def draw(painter):
        paint_legend(painter, BOX, palette, words(), "DejaVu Sans")

    picture = painted(1200, 120, draw, palette.board)
    for urgency in Urgency:
        assert is_colour(picture, palette.state(urgency), 12).sum() >= 8, urgency
