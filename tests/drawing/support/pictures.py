"""Turns what is painted into arrays that a test can count."""

from collections.abc import Callable

import numpy as np
from PySide6.QtGui import QColor, QImage, QPainter

Picture = np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]


def painted(width: int, height: int, draw: Callable[[QPainter], object], ground: str = "#000000") -> Picture:
    """Return the picture that ``draw`` paints on a plain ground, as rows of red, green, blue."""
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor(ground))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter)
    painter.end()
    raw = np.frombuffer(image.constBits(), np.uint8).reshape(height, image.bytesPerLine())
    return raw[:, : width * 4].reshape(height, width, 4)[:, :, 2::-1].copy()


def is_colour(picture: Picture, colour: str, slack: int = 3) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Return where the picture has this colour, give or take ``slack`` of 255 in each part."""
    wanted = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])
    close: np.ndarray[tuple[int, int], np.dtype[np.bool_]] = np.all(
        np.abs(picture.astype(int) - wanted) <= slack, axis=2
    )
    return close


def share_differing(one: Picture, other: Picture, slack: int = 24) -> float:
    """Return the share of pixels that clearly differ between two pictures of one size."""
    return float(np.mean(np.max(np.abs(one.astype(int) - other.astype(int)), axis=2) > slack))
