"""A running number keeps its place: every digit has one width, and the text stays in its box."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QGuiApplication

from bayapp.drawing.digits import cells, digits_height, digits_width, paint_digits
from bayapp.drawing.lettering import font_of
from tests.drawing.support.pictures import painted

pytestmark = pytest.mark.usefixtures("qapp")


def test_all_digits_have_one_width_and_the_colon_is_narrower(qapp: QGuiApplication) -> None:
    font = font_of("DejaVu Sans", 40)
    digits = cells("0123456789", font)
    assert len(set(digits)) == 1
    assert cells(":", font)[0] < digits[0] * 0.7
    assert digits[0] >= max(QFontMetricsF(font).horizontalAdvance(d) for d in "0123456789")


def test_a_face_with_a_narrow_one_still_gets_equal_cells(monkeypatch: pytest.MonkeyPatch) -> None:
    class NarrowOne:
        def __init__(self, font: object) -> None:
            pass

        def horizontalAdvance(self, character: str) -> float:  # noqa: N802
            return 11.0 if character == "1" else 20.0

    monkeypatch.setattr("bayapp.drawing.digits.QFontMetricsF", NarrowOne)
    assert cells("1:24", font_of("DejaVu Sans", 40)) == [20.0, 10.0, 20.0, 20.0]


def test_times_with_equally_many_characters_are_equally_wide() -> None:
    font = font_of("DejaVu Sans", 40)
    assert digits_width("1:11", font) == digits_width("8:08", font)
    assert digits_width("11:11", font) > digits_width("1:11", font)


def test_right_aligned_digits_end_at_the_same_place_whatever_they_are() -> None:
    font = font_of("DejaVu Sans", 40)
    box = QRectF(10, 10, 280, 60)

    def columns(text: str) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        picture = painted(300, 80, lambda painter: paint_digits(painter, box, text, font, "#ffffff"))
        return np.flatnonzero((picture.max(axis=2) > 100).any(axis=0))

    for text in ("0:00", "12:00", "+2:00"):
        assert 285 - digits_width("0", font) * 0.3 <= columns(text).max() <= 290
    colon = [columns(text) for text in ("1:11", "8:88")]
    assert abs(int(colon[0].max()) - int(colon[1].max())) <= digits_width("0", font) * 0.3


def test_digits_are_centred_in_the_height_of_their_box() -> None:
    font = font_of("DejaVu Sans", 40)
    box = QRectF(0, 0, 200, 100)
    centre = Qt.AlignmentFlag.AlignHCenter
    picture = painted(200, 100, lambda painter: paint_digits(painter, box, "88", font, "#ffffff", centre))
    rows, columns = np.nonzero(picture.max(axis=2) > 100)
    assert (rows.min() + rows.max()) / 2 == pytest.approx(49.5, abs=1.5)
    assert (columns.min() + columns.max()) / 2 == pytest.approx(99.5, abs=1.5)
    assert rows.max() - rows.min() == pytest.approx(digits_height(font), abs=3)
