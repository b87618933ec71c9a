"""A recipe's ladder, drawn to show how it behaves: swatch, words and a line for each wait."""

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from bayapp.drawing.textures import inks_for, paint_texture
from bayapp.drawing.upright import upright
from bayapp.job.model.ids import Urgency
from bayapp.pages.recipes.recipe_rungs import DrawnLadder, DrawnRung
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter
from bayapp.screen.widgets.typeset import paint_words

RUNG_MOST = 25.0
SWATCH_SHAPE = 1.35
TEXTURE_SCALE = 0.5
FOOT = 9.0
LINE_SHARE = 0.32
TICK_WIDE = 17.0


class LadderSketch(QWidget):
    """The ladder of a recipe.

    Signals:
        rung_touched: a rung was touched; carries its index.
    """

    rung_touched = Signal(int)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._ladder: DrawnLadder | None = None
        self._chosen: int | None = None

    def show_ladder(self, ladder: DrawnLadder, chosen: int | None) -> None:
        """Show a ladder with one of its rungs selected."""
        if (ladder, chosen) != (self._ladder, self._chosen):
            self._ladder, self._chosen = ladder, chosen
            self.update()

    @property
    def ladder(self) -> DrawnLadder | None:
        """The ladder that is shown."""
        return self._ladder

    def rung_at(self, y: float) -> int | None:
        """Return the rung nearest to a height in pixels."""
        if self._ladder is None or not self._ladder.rungs:
            return None
        return max(0, min(len(self._ladder.rungs) - 1, int(y // self._step(self._ladder))))

    def _step(self, ladder: DrawnLadder) -> float:
        room = self.height() - self._look.mm(FOOT)
        return min(self._look.mm(RUNG_MOST), room / max(1, len(ladder.rungs)))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        rung = self.rung_at(event.position().y())
        if rung is not None and self.rect().contains(event.position().toPoint()):
            self.rung_touched.emit(rung)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._ladder is None:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            step, mm = self._step(self._ladder), self._look.mm
            wide = float(self.width())
            swatch = QRectF(0, 0, (step - mm(3)) * SWATCH_SHAPE, step - mm(3))
            line = QRectF(wide * (1 - LINE_SHARE), 0, wide * LINE_SHARE - mm(5), step * len(self._ladder.rungs))
            self._paint_ticks(painter, line, self._ladder)
            middle = mm(2) + swatch.width() / 2
            painter.setPen(QPen(QColor(self._look.palette.track), mm(0.9)))
            painter.drawLine(QPointF(middle, step / 2), QPointF(middle, step * (len(self._ladder.rungs) - 0.5)))
            for n, rung in enumerate(self._ladder.rungs):
                self._paint_rung(painter, QRectF(0, n * step, wide, step - mm(1)), swatch, rung, n == self._chosen)
                self._paint_wait(painter, QRectF(line.left(), n * step, line.width(), step - mm(1)), rung)

    def _paint_ticks(self, painter: QPainter, line: QRectF, ladder: DrawnLadder) -> None:
        """Mark the time scale under the rungs: a hairline for each tick, with its label if there is room."""
        mm, palette, free = self._look.mm, self._look.palette, line.left() - self._look.mm(TICK_WIDE)
        for words, at in ladder.ticks:
            x = line.left() + line.width() * at
            painter.setPen(QPen(QColor(palette.track), mm(0.25)))
            painter.drawLine(QPointF(x, line.top()), QPointF(x, line.bottom()))
            box = QRectF(x - mm(TICK_WIDE / 2), line.bottom() + mm(1.5), mm(TICK_WIDE), mm(6))
            if box.left() < free or box.right() > self.width():
                box.moveRight(min(box.right(), float(self.width())))
            if box.left() >= free:
                paint_words(
                    painter, box, words, mm(3.3), palette.text_quiet, bold=False, align=Qt.AlignmentFlag.AlignHCenter
                )
                free = box.right() + mm(1)

    def _paint_rung(self, painter: QPainter, row: QRectF, swatch: QRectF, rung: DrawnRung, chosen: bool) -> None:
        mm, palette = self._look.mm, self._look.palette
        if chosen or rung.wrong:
            colour = palette.line(Urgency.LAPSED) if rung.wrong else palette.ring
            painter.setPen(QPen(QColor(colour), mm(0.8)))
            painter.setBrush(QColor(palette.tile_raised) if chosen else Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(row.adjusted(mm(0.4), mm(0.4), -mm(0.4), -mm(0.4)), mm(2.5), mm(2.5))
        spot = swatch.translated(row.left() + mm(2), row.center().y() - swatch.height() / 2)
        self._paint_swatch(painter, spot, rung)
        right = row.left() + row.width() * (1 - LINE_SHARE) - mm(3)
        words = QRectF(spot.right() + mm(3.5), row.top() + mm(1), right - spot.right() - mm(3.5), row.height() - mm(2))
        upper = words if not rung.detail else QRectF(words.left(), words.top(), words.width(), words.height() * 0.5)
        lines = 1 if rung.detail else 2
        paint_words(painter, upper, rung.title, min(mm(5.4), row.height() * 0.3), palette.text, lines=lines)
        if rung.detail:
            lower = QRectF(words.left(), upper.bottom(), words.width(), words.height() - upper.height())
            cap = min(mm(4.0), row.height() * 0.22)
            paint_words(painter, lower, rung.detail, cap, palette.text_quiet, bold=False, lines=2)

    def _paint_swatch(self, painter: QPainter, spot: QRectF, rung: DrawnRung) -> None:
        """Paint the surface as it looks once the step is done; the drawing's texture at half its size."""
        with upright(painter, spot):
            painter.save()
            painter.translate(spot.topLeft())
            scale = self._look.mm(1) / 3.2 * TEXTURE_SCALE
            painter.scale(scale, scale)
            path = QPainterPath()
            path.addRoundedRect(QRectF(0, 0, spot.width() / scale, spot.height() / scale), 12, 12)
            inks = inks_for(self._look.palette, "paint", rung.stage, len(rung.layers), Urgency.IDLE)
            paint_texture(painter, path, rung.stage, rung.layers, inks)
            painter.restore()

    def _paint_wait(self, painter: QPainter, row: QRectF, rung: DrawnRung) -> None:
        """Paint a thin line until the step may begin, a thick one while it may, and a bar at its latest moment."""
        if rung.opens is None:
            return
        mm, palette, y = self._look.mm, self._look.palette, row.center().y()
        opens = row.left() + row.width() * rung.opens
        ends = row.left() + row.width() * (1.0 if rung.ends is None else rung.ends)
        colour = QColor(palette.line(Urgency.LAPSED) if rung.wrong else palette.line(Urgency.OPEN))
        painter.setPen(QPen(QColor(palette.line(Urgency.WAITING)), mm(0.8)))
        painter.drawLine(QPointF(row.left(), y), QPointF(opens, y))
        painter.setPen(QPen(colour, mm(3.2), c=Qt.PenCapStyle.FlatCap))
        painter.drawLine(QPointF(opens, y), QPointF(max(ends, opens + mm(1)), y))
        if rung.ends is None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour)
            tip = [QPointF(ends, y - mm(3.2)), QPointF(ends + mm(4), y), QPointF(ends, y + mm(3.2))]
            painter.drawPolygon(tip)
        else:
            painter.setPen(QPen(QColor(palette.text), mm(1.1)))
            painter.drawLine(QPointF(ends, y - mm(3.8)), QPointF(ends, y + mm(3.8)))
