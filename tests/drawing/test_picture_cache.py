"""A kept picture is drawn once, looks like the drawing itself, and is forgotten when the size changes."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from bayapp.drawing.picture_cache import PictureCache
from tests.drawing.support.pictures import Picture, painted

pytestmark = pytest.mark.usefixtures("qapp")
BOX = QRectF(10, 10, 40, 20)


class Counting:
    """A drawing that counts how often it is drawn."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self, painter: QPainter) -> None:
        self.times += 1
        painter.fillRect(BOX, QColor("#40c080"))


def through(cache: PictureCache, draw: Counting, transform: QTransform, key: str = "box") -> Picture:
    return painted(120, 80, lambda painter: cache.paint(painter, transform, key, BOX, draw))


def test_it_draws_once_and_shows_the_same_thing_again() -> None:
    cache, draw = PictureCache(limit=9), Counting()
    first, second = (through(cache, draw, QTransform.fromScale(2, 2)) for _ in range(2))
    assert draw.times == 1
    assert np.array_equal(first, second)
    assert np.all(first[21:59, 21:99] == (0x40, 0xC0, 0x80))
    assert not first[:19].any()


def test_another_size_or_another_key_is_drawn_anew() -> None:
    cache, draw = PictureCache(limit=9), Counting()
    through(cache, draw, QTransform.fromScale(2, 2))
    through(cache, draw, QTransform.fromScale(1, 1))
    through(cache, draw, QTransform.fromScale(1, 1), "other")
    assert draw.times == 3


def test_the_oldest_picture_goes_when_there_are_too_many() -> None:
    cache, draw = PictureCache(limit=2), Counting()
    for key in ("a", "b", "c", "b", "c"):
        through(cache, draw, QTransform(), key)
    assert draw.times == 3
    through(cache, draw, QTransform(), "a")
    assert draw.times == 4


def test_a_picture_that_is_painted_again_and_again_stays_however_many_others_come() -> None:
    cache, draw = PictureCache(limit=2), Counting()
    for key in ("ground", "b", "ground", "c", "ground", "d", "ground"):
        through(cache, draw, QTransform(), key)
    assert draw.times == 4
