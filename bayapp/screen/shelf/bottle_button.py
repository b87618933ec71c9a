"""The button of a bottle: drawn with its level and a sign of its state, beside its words."""

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Urgency
from bayapp.pages.shelf.shelf import BottleLook, BottleRow
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter
from bayapp.screen.widgets.typeset import paint_words

TITLE, STANDING, LABEL = 5.2, 4.3, 3.9
NECK = 0.26
WIDE = 0.5


class BottleButton(GloveButton):
    """One bottle: level and sign where a line of text begins, words beside them."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.row: BottleRow | None = None

    def show_row(self, row: BottleRow) -> None:
        """Show a bottle; repaints only when something changed."""
        if row == self.row:
            return
        self.row = row
        in_use = row.look in (BottleLook.IN_USE, BottleLook.LOW)
        style = Style.CHOSEN if in_use else Style.REFUSED if row.look is BottleLook.UNFIT else Style.OUTLINED
        self.show_words(row.title, f"{row.standing}, {row.label}", style=style, title_mm=TITLE)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.row is None:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, box = self._look.mm, QRectF(self.rect())
            ink, quiet = self._paint_ground(painter, box)
            body = box.adjusted(mm(4), mm(2.5), -mm(4), -mm(2.5))
            side = min(body.height(), mm(21))
            spot = QRectF(body.left(), body.center().y() - side / 2, side * 0.62, side)
            paint_bottle(painter, spot, self.row, self._look, ink)
            words = body.adjusted(spot.width() + mm(4), 0, 0, 0)
            top = words.top()
            for text, cap, colour, bold in (
                (self.row.title, TITLE, ink, True),
                (self.row.standing, STANDING, ink, True),
                (self.row.label, LABEL, quiet, False),
            ):
                high = words.height() * cap / (TITLE + STANDING + LABEL)
                line = QRectF(words.left(), top, words.width(), high)
                paint_words(painter, line, text, mm(cap), colour, bold=bold)
                top += high


def paint_bottle(painter: QPainter, box: QRectF, row: BottleRow, look: Look, ink: str) -> None:
    """Draw a bottle with its level; a tick in use, a cross where it may not be used, a low mark where it runs low."""
    painter.save()
    outline = _outline(box)
    body_top = box.top() + box.height() * (NECK + 0.12)
    surface = box.bottom() - (box.bottom() - body_top) * row.level
    unfit = row.look is BottleLook.UNFIT
    fill = QColor(look.palette.text_quiet if unfit else look.palette.state(Urgency.WAITING))
    painter.setClipPath(outline)
    painter.fillRect(QRectF(box.left(), surface, box.width(), box.bottom() - surface), fill)
    painter.setClipping(False)
    pen = QPen(QColor(ink), look.mm(0.8), Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(outline)
    _paint_sign(painter, box, row.look, look, ink)
    painter.restore()


def _outline(box: QRectF) -> QPainterPath:
    """Return a bottle with a cap: a neck and round shoulders."""
    middle, neck = box.center().x(), box.width() * 0.2
    shoulder, top = box.top() + box.height() * NECK, box.top()
    path = QPainterPath(QPointF(middle - neck, top))
    path.lineTo(middle + neck, top)
    path.lineTo(middle + neck, shoulder)
    path.cubicTo(
        QPointF(middle + neck, shoulder + box.height() * 0.1),
        QPointF(box.right(), shoulder + box.height() * 0.06),
        QPointF(box.right(), shoulder + box.height() * 0.2),
    )
    path.lineTo(box.right(), box.bottom())
    path.lineTo(box.left(), box.bottom())
    path.lineTo(box.left(), shoulder + box.height() * 0.2)
    path.cubicTo(
        QPointF(box.left(), shoulder + box.height() * 0.06),
        QPointF(middle - neck, shoulder + box.height() * 0.1),
        QPointF(middle - neck, shoulder),
    )
    path.closeSubpath()
    return path


def _paint_sign(painter: QPainter, box: QRectF, kind: BottleLook, look: Look, ink: str) -> None:
    """Draw the sign across the bottle, on its own background so that it is visible at any level."""
    lines = {
        BottleLook.IN_USE: ((-0.5, 0.05, -0.12, 0.42), (-0.12, 0.42, 0.55, -0.4)),
        BottleLook.LOW: ((-0.45, -0.25, 0.0, 0.3), (0.0, 0.3, 0.45, -0.25)),
        BottleLook.UNFIT: ((-0.5, -0.5, 0.5, 0.5), (-0.5, 0.5, 0.5, -0.5)),
    }.get(kind, ())
    if not lines:
        return
    half = box.width() * WIDE
    middle = QPointF(box.center().x(), box.bottom() - 1.4 * half)
    spot = QRectF(middle.x() - half, middle.y() - half, 2 * half, 2 * half)
    with upright(painter, spot):
        for colour, wide in ((look.palette.tile, 3.4), (ink, 1.5)):
            pen = QPen(QColor(colour), look.mm(wide), Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            for x1, y1, x2, y2 in lines:
                painter.drawLine(QLineF(middle + QPointF(x1, y1) * half, middle + QPointF(x2, y2) * half))
