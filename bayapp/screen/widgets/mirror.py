"""Pages for languages that run right to left: the same page in a mirror, writing and signs upright."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.text.language import right_to_left


def page_painter(widget: QWidget) -> QPainter:
    """Return a painter of the widget whose left is the side on which a line of the shop's language begins.

    Use it in a ``with`` statement. What must stay as it is (words, digits, badges, glyphs) turns itself round again;
    see ``bayapp.drawing.upright``.
    """
    painter = QPainter(widget)
    if right_to_left():
        painter.translate(widget.width(), 0)
        painter.scale(-1, 1)
        painter.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    return painter


def place(child: QWidget, rect: QRectF) -> None:
    """Set a child down where a page written left to right has it, in pixels of its parent, mirrored where need be."""
    whole = rect.toRect()
    parent = child.parentWidget()
    if parent is not None and right_to_left():
        whole.moveLeft(parent.width() - whole.left() - whole.width())
    child.setGeometry(whole)
