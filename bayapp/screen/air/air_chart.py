"""One chart of the day's air: large figure, lines, limits, coats, time.

Everything but the lines is painted in window pixels, so that letters are never stretched.
"""

from datetime import datetime, tzinfo
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.pages.air.air_chart import Line, Panel, Stroke
from bayapp.pages.air.air_day import AirPageView, CoatMark
from bayapp.pages.plan.plan_ticks import ticks
from bayapp.screen.plan.plan_frame import moment_of, seconds_of
from bayapp.screen.plan.plan_rows import paint_in_pixels
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.typeset import cap_font, paint_words
from bayapp.text.language import _

TITLE_CAP, LARGE_CAP, LINE_CAP, LIMIT_CAP, TICK_CAP = 5.2, 9.4, 4.8, 5.2, 5.4
EDGE = 4.0
TITLE_ROW, LARGE_ROW, LINE_ROW = 10.0, 15.0, 8.5
COATS_ROW, COATS_CAP, TICK_ROW = 7.0, 3.9, 10.5
GUTTER = 21.0
TICK_APART = 21.5
LEAST_PLOT = 14.0
THIN, THICK = 0.7, 1.5
HATCH = 2.6
MIDDLE, RIGHT = Qt.AlignmentFlag.AlignHCenter, Qt.AlignmentFlag.AlignRight


class Paper(pg.GraphicsObject):
    """The background of the lines: words, forbidden ranges, limits, coats and now."""

    def __init__(self, chart: "AirChart") -> None:
        super().__init__()
        self._chart = chart

    def boundingRect(self) -> QRectF:
        return QRectF(self._chart.viewport().rect())

    def paint(self, painter: QPainter, *rest: Any) -> None:
        painter.save()
        paint_in_pixels(self, painter)
        self._chart.paint_paper(painter)
        painter.restore()


class AirChart(pg.GraphicsView):
    """One chart; nothing on it is touched."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent, background=None)
        self._look = look
        self._panel: Panel | None = None
        self._coats: tuple[CoatMark, ...] = ()
        self._times = (0.0, 1.0)
        self._now: datetime | None = None
        self._tz: tzinfo | None = None
        self._box = pg.ViewBox(enableMouse=False, enableMenu=False)
        self._box.disableAutoRange()
        self._grid = pg.GraphicsLayout()
        self._grid.setSpacing(0)
        self._grid.addItem(self._box, 0, 0)
        self._curves: list[pg.PlotCurveItem] = []
        self._paper = Paper(self)
        self._paper.setZValue(-1)
        self.setAntialiasing(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.scene().addItem(self._paper)
        self.setCentralItem(self._grid)

    @property
    def panel(self) -> Panel | None:
        """What is shown."""
        return self._panel

    def show_panel(self, panel: Panel, view: AirPageView) -> None:
        """Show a chart of the page."""
        self._panel, self._coats, self._now, self._tz = panel, view.coats, view.now, view.tz
        self._times = seconds_of(view.begins), seconds_of(view.ends)
        self.look_changed()

    def look_changed(self) -> None:
        """Take over the present palette and measure, and redraw everything."""
        if self._panel is None:
            return
        self.setBackground(self._look.palette.tile_raised)
        self._grid.setVisible(self.has_room)
        if self.has_room:
            self._draw_lines(self._panel)
        self._paper.prepareGeometryChange()
        self._paper.update()

    def _draw_lines(self, panel: Panel) -> None:
        plot, whole = self.plot_rect(), QRectF(self.viewport().rect())
        self._grid.setContentsMargins(
            plot.left(), plot.top(), whole.width() - plot.right(), whole.height() - plot.bottom()
        )
        self._grid.layout.activate()
        self._box.setRange(xRange=self._times, yRange=(panel.bottom, panel.top), padding=0, disableAutoRange=True)
        for curve in self._curves:
            self._box.removeItem(curve)
        self._curves = [curve for line in panel.lines for curve in self._drawn(line)]
        for curve in self._curves:
            self._box.addItem(curve, ignoreBounds=True)

    def _drawn(self, line: Line) -> list[pg.PlotCurveItem]:
        """Return a line as curves: solid where known, pale dashes where only assumed."""
        palette, mm = self._look.palette, self._look.mm
        wide = mm(THICK if line.stroke is Stroke.THICK else THIN)
        known = pg.mkPen(QColor(palette.text), width=wide)
        if line.stroke is Stroke.DOTTED:
            known = pg.mkPen(QColor(palette.text), width=mm(THICK), style=Qt.PenStyle.CustomDashLine)
            known.setDashPattern([0.1, 1.8])
            known.setCapStyle(Qt.PenCapStyle.RoundCap)
        supposed = pg.mkPen(QColor(palette.text_quiet), width=mm(THIN), style=Qt.PenStyle.DashLine)
        return [self._curve(line, True, known), self._curve(line, False, supposed)]

    def _curve(self, line: Line, known: bool, pen: QPen) -> pg.PlotCurveItem:
        x, y = list[float](), list[float]()
        for stretch in line.stretches:
            if stretch.known is known:
                x += [seconds_of(stretch.begins), seconds_of(stretch.ends)]
                y += [stretch.value, stretch.value]
            else:
                x.append(x[-1] if x else seconds_of(stretch.begins))
                y.append(float("nan"))
        return pg.PlotCurveItem(np.array(x), np.array(y), pen=pen, connect="finite")

    # Where things lie, in pixels of the window.

    @property
    def has_room(self) -> bool:
        """Whether there is room for readable lines under the figures; if not, the figures are shown alone."""
        return self.plot_rect().height() >= self._look.mm(LEAST_PLOT)

    def plot_rect(self) -> QRectF:
        """Return where the lines are drawn."""
        mm, whole = self._look.mm, QRectF(self.viewport().rect())
        top = TITLE_ROW + (LINE_ROW * self._line_rows() or LARGE_ROW)
        return whole.adjusted(mm(GUTTER), mm(top + EDGE / 2), -mm(EDGE), -mm(COATS_ROW + TICK_ROW))

    def _line_rows(self) -> int:
        return len(self._panel.lines) if self._panel and len(self._panel.lines) > 1 else 0

    def x_of(self, moment: datetime) -> float:
        """Return the column of a moment."""
        plot, (left, right) = self.plot_rect(), self._times
        return plot.left() + (seconds_of(moment) - left) / max(right - left, 1e-9) * plot.width()

    def y_of(self, value: float) -> float:
        """Return the height of a value."""
        assert self._panel
        plot = self.plot_rect()
        return plot.bottom() - (value - self._panel.bottom) / (self._panel.top - self._panel.bottom) * plot.height()

    # The paper.

    def paint_paper(self, painter: QPainter) -> None:
        """Paint all but the lines."""
        if self._panel is None:
            return
        self._paint_head(painter, self._panel)
        if self.has_room:
            self._paint_limits(painter, self._panel)
            self._paint_coats(painter)
            self._paint_times(painter)

    def _paint_head(self, painter: QPainter, panel: Panel) -> None:
        mm, palette, whole = self._look.mm, self._look.palette, QRectF(self.viewport().rect())
        row = QRectF(mm(EDGE), mm(1), whole.width() - mm(2 * EDGE), mm(TITLE_ROW))
        paint_words(painter, row, panel.title, mm(TITLE_CAP), palette.text_quiet)
        large = QRectF(row.left(), row.bottom(), row.width(), mm(LARGE_ROW))
        if panel.outside:
            self._paint_outside(painter, QRectF(row.right() - mm(7.2), row.top(), mm(7.2), row.height()))
        if not self._line_rows():
            paint_words(painter, large, panel.large, mm(LARGE_CAP), palette.text)
        for n in range(self._line_rows()):
            sample = QRectF(row.left(), mm(TITLE_ROW + LINE_ROW * n), mm(12), mm(LINE_ROW))
            self._paint_sample(painter, sample, panel.lines[n].stroke)
            words = QRectF(sample.right() + mm(3), sample.top(), row.right() - sample.right() - mm(3), sample.height())
            paint_words(painter, words, panel.lines[n].words, mm(LINE_CAP), palette.text)

    def _paint_outside(self, painter: QPainter, box: QRectF) -> None:
        """Mark a figure outside its limits with a shape."""
        mm, middle = self._look.mm, box.center().y()
        left = box.left()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._look.palette.state(Urgency.LAPSED)))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(left, middle + mm(3.2)),
                    QPointF(left + mm(3.6), middle - mm(3.2)),
                    QPointF(left + mm(7.2), middle + mm(3.2)),
                ]
            )
        )

    def _paint_sample(self, painter: QPainter, box: QRectF, stroke: Stroke) -> None:
        mm, y = self._look.mm, box.center().y()
        pen = QPen(QColor(self._look.palette.text), mm(THIN if stroke is Stroke.THIN else THICK))
        if stroke is Stroke.DOTTED:
            pen.setDashPattern([0.1, 1.8])
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(box.left() + mm(0.8), y), QPointF(box.right(), y))

    def _paint_limits(self, painter: QPainter, panel: Panel) -> None:
        """Hatch where no coat is laid, and write the limit beside it."""
        mm, palette, plot = self._look.mm, self._look.palette, self.plot_rect()
        painter.fillRect(plot, QColor(palette.tile))
        for limit in panel.limits:
            y = self.y_of(limit.value)
            ground = (
                QRectF(plot.left(), plot.top(), plot.width(), y - plot.top())
                if limit.forbids_above
                else QRectF(plot.left(), y, plot.width(), plot.bottom() - y)
            )
            self._hatch(painter, ground)
            painter.setPen(QPen(QColor(palette.line(Urgency.LAPSED)), mm(0.8)))
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
        tall = mm(LIMIT_CAP * 1.5)
        for limit, middle in zip(
            panel.limits, self._apart([self.y_of(x.value) for x in panel.limits], tall), strict=True
        ):
            words = QRectF(mm(1.5), middle - tall / 2, mm(GUTTER - 3.5), tall)
            paint_words(painter, words, limit.words, mm(LIMIT_CAP), palette.text, align=RIGHT)

    def _apart(self, places: list[float], tall: float) -> list[float]:
        """Return the places of the words so that none overlap; the lower limit comes first."""
        if len(places) == 2 and (missing := tall - (places[0] - places[1])) > 0:
            places = [places[0] + missing / 2, places[1] - missing / 2]
        return places

    def _hatch(self, painter: QPainter, box: QRectF) -> None:
        mm, apart = self._look.mm, self._look.mm(HATCH)
        painter.save()
        painter.setClipRect(box)
        painter.setPen(QPen(QBrush(QColor(self._look.palette.track)), mm(0.45)))
        x = box.left() - box.height()
        while x < box.right():
            painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
            x += apart
        painter.restore()

    def _paint_coats(self, painter: QPainter) -> None:
        """Mark when coats were laid, under the lines."""
        mm, palette, plot = self._look.mm, self._look.palette, self.plot_rect()
        row = QRectF(plot.left(), plot.bottom() + mm(0.8), plot.width(), mm(COATS_ROW - 1.6))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(palette.line(Urgency.OPEN)))
        for coat in self._coats:
            left, right = self.x_of(coat.begins), self.x_of(coat.ends)
            bar = QRectF(left, row.top(), max(mm(0.9), right - left), row.height())
            painter.drawRect(bar.intersected(row))
        word = QRectF(mm(1.5), plot.bottom(), mm(GUTTER - 3.5), mm(COATS_ROW))
        paint_words(painter, word, _("coats"), mm(COATS_CAP), palette.text_quiet, align=RIGHT)
        if self._now:
            painter.setPen(QPen(QColor(palette.flag), mm(0.9)))
            x = self.x_of(self._now)
            painter.drawLine(QPointF(x, plot.top()), QPointF(x, row.bottom()))

    def _paint_times(self, painter: QPainter) -> None:
        mm, plot = self._look.mm, self.plot_rect()
        if self._now is None or self._tz is None:
            return
        begins, ends = (moment_of(seconds) for seconds in self._times)
        metrics = QFontMetricsF(cap_font(mm(TICK_CAP)))
        for tick in ticks(begins, ends, max(2, int(plot.width() / mm(TICK_APART))), self._tz):
            half = metrics.horizontalAdvance(tick.words) / 2 + mm(1)
            x = self.x_of(tick.at)
            painter.setPen(QPen(QColor(self._look.palette.text_quiet), mm(0.5)))
            painter.drawLine(QPointF(x, plot.bottom()), QPointF(x, plot.bottom() + mm(COATS_ROW)))
            box = QRectF(x - half, plot.bottom() + mm(COATS_ROW), 2 * half, mm(TICK_ROW - 1))
            if box.left() >= 0 and box.right() <= self.viewport().width():
                paint_words(painter, box, tick.words, mm(TICK_CAP), self._look.palette.text, align=MIDDLE)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_paper"):  # pyqtgraph resizes from within its constructor
            self.look_changed()
