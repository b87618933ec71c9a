"""The edges of the time line: names of rows, times, and the finish."""

from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from bayapp.pages.plan.plan import Flag, PlanView
from bayapp.pages.plan.plan_rows import PlanRow
from bayapp.screen.plan.plan_frame import Frame
from bayapp.screen.plan.plan_letters import fits
from bayapp.screen.plan.plan_rows import TICK_APART, Scene, paint_in_pixels
from bayapp.screen.widgets.typeset import fit, paint_words
from bayapp.text.figures import clock_time

AXIS, FLAGS = 13.0, 13.0
GUTTER_PERSON, GUTTER_ZONE = 66.0, 84.0
LABEL_CAP, LEAST_LABEL_CAP = 9.1, 7.6
DOING_CAP = 5.4
UNTIL_CAP = 4.8
LINE = 1.75
ONE_LINE = 1.35
AXIS_CAP = 7.0
FLAG_CAP = 6.6
BESIDE = Qt.AlignmentFlag.AlignHCenter


class ChartEdge(pg.AxisItem):
    """A side of the time line that paints itself."""

    def __init__(self, scene: Scene, side: str, size_mm: float) -> None:
        super().__init__(side)
        self._scene = scene
        self.show_size(size_mm)

    def show_size(self, millimetres: float) -> None:
        """Reserve this much room beside the rows."""
        size = self._scene.look.mm(millimetres)
        if self.orientation in ("left", "right"):
            self.setWidth(size)
        else:
            self.setHeight(size)

    def boundingRect(self) -> QRectF:
        return self.rect()

    def paint(self, painter: QPainter, *rest: Any) -> None:
        if self._scene.view is None:
            return
        painter.save()
        paint_in_pixels(self, painter)
        self.paint_edge(painter, self.sceneBoundingRect(), self._scene.frame(), self._scene.view)
        painter.restore()

    def paint_edge(self, painter: QPainter, box: QRectF, frame: Frame, view: PlanView) -> None:
        """Paint the edge into its box."""


class TimeEdge(ChartEdge):
    """Hours and minutes, with the flag of now above them."""

    def paint_edge(self, painter: QPainter, box: QRectF, frame: Frame, view: PlanView) -> None:
        mm, palette = frame.mm, frame.look.palette
        flag = self._now_box(box, frame, view)
        for tick in self._scene.ticks():
            x, half = frame.x(tick.at), mm(TICK_APART * 0.48)
            place = QRectF(x - half, box.top() + mm(1.5), 2 * half, box.height() - mm(2))
            if place.left() < frame.view.left() or place.right() > box.right() + mm(4) or place.intersects(flag):
                continue
            paint_words(painter, place, tick.words, mm(AXIS_CAP), palette.text, align=BESIDE)
        if not flag.isEmpty():
            x = frame.x(view.now)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(palette.flag))
            beak = [QPointF(x - mm(3), flag.top() + 1), QPointF(x, box.top() - 1), QPointF(x + mm(3), flag.top() + 1)]
            painter.drawPolygon(QPolygonF(beak))
            painter.drawRoundedRect(flag, mm(1.5), mm(1.5))
            words = clock_time(view.now, view.tz, seconds=False)
            paint_words(
                painter, flag.adjusted(mm(1), 0, -mm(1), 0), words, mm(AXIS_CAP), palette.flag_text, align=BESIDE
            )

    def _now_box(self, box: QRectF, frame: Frame, view: PlanView) -> QRectF:
        mm, x = frame.mm, frame.x(view.now)
        if not frame.view.left() <= x <= frame.view.right():
            return QRectF()
        left = min(max(x - mm(17), frame.view.left()), frame.view.right() - mm(34))
        return QRectF(left, box.top() + mm(2), mm(34), box.height() - mm(2))


class FlagEdge(ChartEdge):
    """The finish and how late it may get; an arrow if that is outside the view."""

    def paint_edge(self, painter: QPainter, box: QRectF, frame: Frame, view: PlanView) -> None:
        right = frame.view.right() - frame.mm(1)
        for n, flag in reversed(list(enumerate(view.flags))):
            seen = frame.x(flag.at) <= frame.view.right()
            if n > 0 and not seen:
                continue  # the finish flag at the edge says which way, the page's sentences say when
            right = self._paint_flag(painter, box, frame, flag, right, filled=n == 0) - frame.mm(2)

    def _paint_flag(
        self, painter: QPainter, box: QRectF, frame: Frame, flag: Flag, right: float, filled: bool
    ) -> float:
        """Paint a flag left of ``right``; return its left edge, or ``right`` if there is no room."""
        mm, palette, x = frame.mm, frame.look.palette, frame.x(flag.at)
        tall = box.height() - mm(4)
        font, rows = fit(flag.words, mm(90), tall, mm(FLAG_CAP), True, 1)
        wide = QFontMetricsF(font).horizontalAdvance(rows[0]) + mm(7)
        out = x > frame.view.right()
        left = max(frame.view.left(), min(x, right - wide - (mm(6) if out else 0)))
        place = QRectF(left, box.top() + mm(0.5), wide, tall)
        if place.right() > right + 1 or (x < frame.view.left()):
            return right
        painter.setPen(QPen(QColor(palette.flag), mm(0.7)))
        painter.setBrush(QColor(palette.flag if filled else palette.tile))
        painter.drawRoundedRect(place, mm(1.5), mm(1.5))
        ink = palette.flag_text if filled else palette.text
        paint_words(painter, place.adjusted(mm(3), 0, -mm(3), 0), flag.words, mm(FLAG_CAP), ink, align=BESIDE)
        self._paint_pole(painter, box, frame, place, x, out)
        return place.left()

    def _paint_pole(self, painter: QPainter, box: QRectF, frame: Frame, place: QRectF, x: float, out: bool) -> None:
        """Draw a line from a flag to its moment, or an arrow if that is outside the view."""
        mm = frame.mm
        painter.setBrush(QColor(frame.look.palette.flag))
        if out:
            near, far = place.right() + mm(1.5), place.right() + mm(6)
            ends = [QPointF(near, place.top() + mm(1)), QPointF(near, place.bottom() - mm(1))]
            painter.drawPolygon(QPolygonF([ends[0], QPointF(far, place.center().y()), ends[1]]))
            return
        root, y = min(max(x, place.left() + mm(1)), place.right() - mm(1)), place.bottom() + mm(2)
        way = [QPointF(root, place.bottom()), QPointF(root, y), QPointF(x, y), QPointF(x, box.bottom())]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(way))


class RowEdge(ChartEdge):
    """The names of the rows, and how far they are scrolled."""

    def paint_edge(self, painter: QPainter, box: QRectF, frame: Frame, view: PlanView) -> None:
        mm = frame.mm
        for row, place in zip(view.rows, self._scene.row_boxes(), strict=True):
            top, bottom = max(place.top(), frame.view.top()), min(place.bottom(), frame.view.bottom())
            if bottom - top >= mm(LABEL_CAP + 3):  # a row that is seen in part has its name as well
                self._paint_label(painter, QRectF(box.left(), top, box.width() - mm(5), bottom - top), row)
        self._paint_thumb(painter, box, frame)

    def _paint_label(self, painter: QPainter, box: QRectF, row: PlanRow) -> None:
        """Write the name of the row, then the work now or next, then until when, as far as there is room."""
        mm, palette = self._scene.look.mm, self._scene.look.palette
        y = box.top() + mm(2)
        narrow = QRectF(0, 0, box.width(), mm(LABEL_CAP * LINE))
        one_line = fits(row.label, narrow, mm(LABEL_CAP), mm(LEAST_LABEL_CAP), 1)
        for words, cap, ink, lines, least in (
            (row.label, LABEL_CAP, palette.text, 1 if one_line else 2, 1.0),
            (row.doing, DOING_CAP, palette.text, 3, ONE_LINE),
            (row.until, UNTIL_CAP, palette.text_quiet, 1, ONE_LINE),
        ):
            tall = min(mm(cap) * LINE * lines, box.bottom() - mm(1) - y)
            if words and tall >= mm(cap) * least:
                place = QRectF(box.left(), y, box.width(), tall)
                y += paint_words(painter, place, words, mm(cap), ink, bold=cap > UNTIL_CAP, lines=lines, top=True)
                y += mm(3.7)

    def _paint_thumb(self, painter: QPainter, box: QRectF, frame: Frame) -> None:
        """Paint a scroll thumb if not all rows are visible."""
        boxes = self._scene.row_boxes()
        if not boxes or all(self._scene.whole(b) for b in boxes):
            return
        mm, top, tall = frame.mm, boxes[0].top(), boxes[-1].bottom() - boxes[0].top()
        view = frame.view
        x = box.right() - mm(2.6)
        painter.fillRect(QRectF(x, view.top(), mm(1.6), view.height()), QColor(frame.look.palette.track))
        share = QRectF(
            x, view.top() + (view.top() - top) / tall * view.height(), mm(1.6), view.height() / tall * view.height()
        )
        painter.fillRect(share, QColor(frame.look.palette.text))
