"""Mirrors pages for right-to-left languages, with text and icons upright."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.text.language import right_to_left


def page_painter(widget: QWidget) -> QPainter:
    """Return a painter of the widget, mirrored if the shop's language runs right to left.

    Use it in a ``with`` statement. What must not be mirrored (words, digits, badges, icons) undoes that itself; see
    ``bayapp.drawing.upright``.
    """
    painter = QPainter(widget)
    if right_to_left():
        painter.translate(widget.width(), 0)
        painter.scale(-1, 1)
        painter.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    return painter


def place(child: QWidget, rect: QRectF) -> None:
    """Place a child at its left-to-right position, in pixels of its parent; mirrored if needed."""
    whole = rect.toRect()
    parent = child.parentWidget()
    if parent is not None and right_to_left():
        whole.moveLeft(parent.width() - whole.left() - whole.width())
    child.setGeometry(whole)
