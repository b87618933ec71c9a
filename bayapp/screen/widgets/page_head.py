"""The background and head of pages with big buttons: title, subtitle, room for the way back."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.typeset import paint_words

HEAD = 27.0
CLOSE = 27.0


def close_rect(width: float, look: Look) -> QRectF:
    """Return the place of the button for the way back on a page of this width, in pixels."""
    return QRectF(width - look.mm(CLOSE), 0, look.mm(CLOSE), look.mm(HEAD))


def paint_head(painter: QPainter, box: QRectF, look: Look, title: str, subtitle: str) -> None:
    """Paint a page's background, its title and, if there is one, its subtitle."""
    mm, palette = look.mm, look.palette
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(palette.tile))
    painter.drawRoundedRect(box, mm(4), mm(4))
    head = QRectF(box.left() + mm(7), box.top() + mm(4), box.width() - mm(CLOSE + 14), mm(HEAD - 4))
    paint_words(painter, head.adjusted(0, 0, 0, -mm(8)) if subtitle else head, title, mm(8.6), palette.text)
    under = QRectF(head.left(), head.bottom() - mm(7.5), head.width(), mm(8))
    paint_words(painter, under, subtitle, mm(4.5), palette.text_quiet, bold=False)
