"""The items of the time line: rows and the line of now.

Everything is painted in window pixels, so that letters and lines are not stretched when time is zoomed.
"""

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from bayapp.pages.plan.plan import Flag, PlanView
from bayapp.pages.plan.plan_rows import PlanRow
from bayapp.pages.plan.plan_ticks import Tick, ticks
from bayapp.screen.plan.plan_bars import paint_row
from bayapp.screen.plan.plan_frame import EPOCH, Frame, moment_of, row_tops
from bayapp.screen.widgets.look import Look

pg.setConfigOption("exitCleanup", False)  # the window owns all items and is taken down before the program ends

NOW_WIDE = 1.1
TICK_APART = 40.0


class Scene:
    """What all items of one time line share: the look, the view, and the visible part."""

    def __init__(self, look: Look, view_box: pg.ViewBox) -> None:
        self.look = look
        self.view: PlanView | None = None
        self.tops: list[float] = [0.0]
        self._view_box = view_box

    @property
    def rows(self) -> Sequence[PlanRow]:
        """The rows that are shown."""
        return self.view.rows if self.view else ()

    def place(self, view: PlanView, room: float) -> None:
        """Show this; ``room`` is the height of the window in millimetres."""
        self.view = view
        self.tops = row_tops(view.rows, view.by_person, room)

    def frame(self) -> Frame:
        """Return the visible part."""
        (left, right), _ = self._view_box.viewRange()
        box = self._view_box.sceneBoundingRect()
        now = self.view.now if self.view else EPOCH
        return Frame(self.look, box, left, box.width() / max(right - left, 1e-9), now)

    def row_boxes(self) -> list[QRectF]:
        """Return the boxes of the rows, in window pixels."""
        top = self._view_box.viewRange()[1][0]
        box, mm = self._view_box.sceneBoundingRect(), self.look.mm
        return [
            QRectF(box.left(), box.top() + mm(a - top), box.width(), mm(b - a))
            for a, b in zip(self.tops, self.tops[1:], strict=False)
        ]

    def whole(self, row: QRectF) -> bool:
        """Whether a row is fully visible."""
        box = self._view_box.sceneBoundingRect()
        return row.top() >= box.top() - 1 and row.bottom() <= box.bottom() + 1

    def ticks(self) -> list[Tick]:
        """Return the hours and minutes that are marked."""
        frame = self.frame()
        if self.view is None or frame.px_per_s <= 0:
            return []
        right = frame.left + frame.view.width() / frame.px_per_s
        most = int(frame.view.width() / self.look.mm(TICK_APART))
        return ticks(moment_of(frame.left), moment_of(right), most, self.view.tz)


def paint_in_pixels(item: QGraphicsItem, painter: QPainter) -> None:
    """Let a painter work in window pixels, independent of the item's own coordinates."""
    painter.setTransform(item.sceneTransform().inverted()[0], True)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)


class RowsItem(pg.GraphicsObject):
    """All rows with their bars; only the exposed part is painted."""

    def __init__(self, scene: Scene) -> None:
        super().__init__()
        self._scene = scene
        self._box = QRectF()
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    def stretch(self, begins: float, ends: float) -> None:
        """Take so much time and every row."""
        self.prepareGeometryChange()
        self._box = QRectF(begins, 0, ends - begins, max(self._scene.tops[-1], 1000.0))

    def boundingRect(self) -> QRectF:
        return self._box

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        scene = self._scene
        if scene.view is None:
            return
        exposed = self.mapRectToScene(option.exposedRect)
        painter.save()
        paint_in_pixels(self, painter)
        frame = scene.frame()
        self._paint_grid(painter, frame, scene.view)
        for row, box in zip(scene.rows, scene.row_boxes(), strict=True):
            if box.intersects(exposed) and box.intersects(frame.view):
                paint_row(painter, frame, row, box, scene.whole(box))
        painter.restore()

    def _paint_grid(self, painter: QPainter, frame: Frame, shown: PlanView) -> None:
        mm, view = frame.mm, frame.view
        painter.setPen(QPen(QColor(frame.look.palette.track), mm(0.3)))
        for tick in self._scene.ticks():
            x = frame.x(tick.at)
            painter.drawLine(QPointF(x, view.top()), QPointF(x, view.bottom()))
        painter.setPen(QPen(QColor(frame.look.palette.track), mm(0.7)))
        for box in self._scene.row_boxes():
            painter.drawLine(box.bottomLeft(), box.bottomRight())
        self._paint_flag_lines(painter, frame, shown.flags)

    def _paint_flag_lines(self, painter: QPainter, frame: Frame, flags: Sequence[Flag]) -> None:
        for flag, style in zip(flags, (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine), strict=False):
            painter.setPen(QPen(QColor(frame.look.palette.text), frame.mm(0.8), style))
            x = frame.x(flag.at)
            painter.drawLine(QPointF(x, frame.view.top()), QPointF(x, frame.view.bottom()))


class NowItem(pg.GraphicsObject):
    """The line of now, the only item that moves every second."""

    def __init__(self, scene: Scene) -> None:
        super().__init__()
        self._scene = scene
        self.setZValue(10)

    def reshape(self) -> None:
        """Take note that time has another scale."""
        self.prepareGeometryChange()

    def boundingRect(self) -> QRectF:
        half = self._scene.look.mm(NOW_WIDE * 1.5) / max(self._scene.frame().px_per_s, 1e-9)
        return QRectF(-half, -1000, 2 * half, max(self._scene.tops[-1], 1000.0) + 2000)

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        frame, palette = self._scene.frame(), self._scene.look.palette
        x = self.scenePos().x()
        painter.save()
        paint_in_pixels(self, painter)
        for colour, wide in ((palette.ring_edge, NOW_WIDE * 2), (palette.ring, NOW_WIDE)):
            painter.setPen(QPen(QColor(colour), frame.mm(wide), Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(x, frame.view.top()), QPointF(x, frame.view.bottom()))
        painter.restore()
