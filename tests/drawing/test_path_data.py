"""Path data is read as SVG 1.1 section 8.3 defines it, for the commands used here; anything else is refused."""

import pytest
from PySide6.QtCore import QPointF, QRectF

from bayapp.drawing.path_data import is_closed, path_from


def test_lines_and_a_close_make_the_shape_they_say() -> None:
    path = path_from("M10,20 L30 20 L30 40 L10 40 Z")
    assert path.boundingRect() == QRectF(10, 20, 20, 20)
    assert path.contains(QPointF(20, 30))


def test_further_pairs_after_a_move_are_lines() -> None:
    assert path_from("M0 0 10 0 10 10 Z").boundingRect() == QRectF(0, 0, 10, 10)


def test_numbers_may_touch_and_carry_signs_and_exponents() -> None:
    assert path_from("M-1.5-2.5L1e1 0L.5 4Z").boundingRect() == QRectF(-1.5, -2.5, 11.5, 6.5)


def test_several_curves_may_follow_one_letter() -> None:
    path = path_from("M0 0 C0 0 10 0 10 0 10 0 10 10 10 10 Z")
    assert path.currentPosition() == QPointF(0, 0)
    assert path.boundingRect() == QRectF(0, 0, 10, 10)


def test_an_inner_ring_is_a_hole() -> None:
    path = path_from("M0 0 L30 0 L30 30 L0 30 Z M10 10 L20 10 L20 20 L10 20 Z")
    assert not path.contains(QPointF(15, 15))
    assert path.contains(QPointF(5, 15))


def test_a_ring_is_closed_and_a_line_is_not() -> None:
    assert is_closed(path_from("M5 5 C5 0 10 0 10 5 C10 10 5 10 5 5 Z"))
    assert not is_closed(path_from("M0 0 L10 0 L10 10"))


@pytest.mark.parametrize(
    ("data", "words"),
    [("M0 0 Q1 1 2 2", "'Q'"), ("M0 0 l1 1", "'l'"), ("M0 0 C1 2 3 4", "4 numbers"), ("5 5 L1 1", "start with M")],
)
def test_what_is_not_read_here_is_refused_with_its_name(data: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        path_from(data)
