"""Keeps signs and text the right way round on a mirrored page."""

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

_OTHER_SIDE = {
    Qt.AlignmentFlag.AlignLeft: Qt.AlignmentFlag.AlignRight,
    Qt.AlignmentFlag.AlignRight: Qt.AlignmentFlag.AlignLeft,
}


def mirrored(painter: QPainter) -> bool:
    """Whether the painter exchanges left and right."""
    return painter.worldTransform().m11() < 0


def side(painter: QPainter, align: Qt.AlignmentFlag) -> Qt.AlignmentFlag:
    """Return the alignment on this page: ``align`` means where a line begins, which is the right on a mirrored page."""
    return _OTHER_SIDE.get(align, align) if mirrored(painter) else align


@contextmanager
def upright(painter: QPainter, rect: QRectF) -> Iterator[None]:
    """Undo the mirroring inside ``rect``, which stays where it is; does nothing on a page that is not mirrored."""
    if not mirrored(painter):
        yield
        return
    painter.save()
    painter.translate(2 * rect.center().x(), 0)
    painter.scale(-1, 1)
    try:
        yield
    finally:
        painter.restore()
