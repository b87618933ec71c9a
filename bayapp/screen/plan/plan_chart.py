"""Navigates the time line by drag, pinch and wheel, within its limits."""

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QResizeEvent, QTouchEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.palette import Palette
from bayapp.pages.plan.plan import PlanView
from bayapp.screen.plan.plan_edges import AXIS, FLAGS, GUTTER_PERSON, GUTTER_ZONE, FlagEdge, RowEdge, TimeEdge
from bayapp.screen.plan.plan_frame import seconds_of
from bayapp.screen.plan.plan_rows import NowItem, RowsItem, Scene
from bayapp.screen.widgets.look import Look

LEAST_SPAN_S = 10 * 60.0
NOW_SPAN_S = 36 * 60.0
NOW_SPAN_ZONES_S = 80 * 60.0
NOW_AT_MOST = 0.4
NOW_BEHIND, NOW_BEHIND_AT_MOST = 0.14, 0.3
SOONEST_SEEN_S = 15 * 60.0
BEFORE, AFTER = 0.03, 0.06  # shares of what is seen
WHEEL = 0.85
NOTCH = 120
LEAST_PINCH = 12.0


class PlanChart(pg.GraphicsView):
    """The time line.

    Attributes:
        follows: whether the view follows the present, until somebody drags it away.

    Signals:
        turned: another part is visible.
    """

    turned = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent, background=None)
        self._look = look
        self._view_box = view_box = pg.ViewBox(enableMouse=False, enableMenu=False, invertY=True)
        self.scene_of = Scene(look, view_box)
        self._rows_edge = RowEdge(self.scene_of, "left", GUTTER_PERSON)
        self._time_edge = TimeEdge(self.scene_of, "bottom", AXIS)
        self._flag_edge = FlagEdge(self.scene_of, "top", FLAGS)
        self._grid = self._lay_grid()
        self.setAntialiasing(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.rows_item, self.now_item = RowsItem(self.scene_of), NowItem(self.scene_of)
        for item in (self.rows_item, self.now_item):
            view_box.addItem(item, ignoreBounds=True)
        view_box.disableAutoRange()
        self.follows = False
        self._fingers: list[QPointF] = []
        self._top = 0.0
        self._times = (0.0, LEAST_SPAN_S)
        self._now_px: float | None = None
        self._palette: Palette | None = None
        self.setCentralItem(self._grid)

    def _lay_grid(self) -> pg.GraphicsLayout:
        """Put the edges around the rows; pyqtgraph's own plot item would bring menus that are never deleted."""
        grid = pg.GraphicsLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        for item, row, column in (
            (self._flag_edge, 0, 1),
            (self._rows_edge, 1, 0),
            (self._view_box, 1, 1),
            (self._time_edge, 2, 1),
        ):
            grid.addItem(item, row, column)
            if item is not self._view_box:
                item.linkToView(self._view_box)
        return grid

    # What is shown.

    def show_view(self, view: PlanView) -> None:
        """Show a view; if rows and flags are unchanged, only the line of now moves."""
        before, scene = self.scene_of.view, self.scene_of
        if self._palette is not self._look.palette:
            self.look_changed()
        scene.place(view, self.room())
        if before is None or (before.rows, before.flags, before.by_person) != (view.rows, view.flags, view.by_person):
            self._rows_edge.show_size(self._gutter())
            self._grid.layout.activate()
            self.rows_item.stretch(*self._limits())
            self.turn(*self._times, self._top)
        elif (before.begins, before.ends) != (view.begins, view.ends):
            self.rows_item.stretch(*self._limits())
        self._move_now(view)

    def _gutter(self) -> float:
        view = self.scene_of.view
        return GUTTER_PERSON if view is None or view.by_person else GUTTER_ZONE

    def _move_now(self, view: PlanView) -> None:
        """Move the line of now, and the end of work under way, by whole pixels."""
        frame, now = self.scene_of.frame(), view.now
        px = round(frame.x(now))
        if self.follows and px > frame.view.left() + frame.view.width() * NOW_AT_MOST and self._goes_on():
            self.to_now()
            return
        if px == self._now_px:
            return
        was, self._now_px = self._now_px, px
        self.now_item.setPos(seconds_of(now), 0)
        if was is not None and frame.view.left() <= px <= frame.view.right():
            strip = QRectF(min(was, px) - 2, frame.view.top(), abs(px - was) + 4, frame.view.height())
            self.rows_item.update(self.rows_item.mapRectFromScene(strip))
        self._time_edge.update()

    def _goes_on(self) -> bool:
        """Whether there is more beyond the visible part."""
        return self._times[1] < self._limits()[1] - 1

    def repaint_all(self) -> None:
        """Repaint everything."""
        for item in (self.rows_item, self.now_item, self._rows_edge, self._time_edge, self._flag_edge):
            item.update()

    def look_changed(self) -> None:
        """Take over the present palette and measure."""
        self._palette = self._look.palette
        self.setBackground(self._palette.tile)
        view = self.scene_of.view
        self._time_edge.show_size(AXIS)
        self._flag_edge.show_size(FLAGS)
        self._rows_edge.show_size(self._gutter())
        self._grid.layout.activate()
        if view:
            self.scene_of.place(view, self.room())
            self.rows_item.stretch(*self._limits())
            self.turn(*self._times, self._top)
        self.repaint_all()

    # Where it is turned to.

    def room(self) -> float:
        """Return the visible height of rows, in millimetres."""
        return max(1.0, (self.height() / self._look.mm(1)) - AXIS - FLAGS)

    def times(self) -> tuple[float, float]:
        """Return the first and the last visible moment, in seconds."""
        return self._times

    def top(self) -> float:
        """Return how far the rows are scrolled, in millimetres."""
        return self._top

    def hidden_rows(self) -> int:
        """Return how many rows are not fully visible."""
        return sum(not self.scene_of.whole(box) for box in self.scene_of.row_boxes())

    def _limits(self) -> tuple[float, float]:
        """Return the whole day with a margin on both sides, in seconds; the times shown if there is no plan."""
        view = self.scene_of.view
        if view is None:
            return self._times
        begins, ends = seconds_of(view.begins), seconds_of(view.ends)
        whole = max(ends - begins, LEAST_SPAN_S) / (1 - BEFORE - AFTER)
        return begins - whole * BEFORE, begins + whole * (1 - BEFORE)

    def turn(self, left: float, right: float, top: float | None = None) -> None:
        """Show these times, and rows from ``top`` on, within the limits."""
        if self.scene_of.view is None:
            return
        low, high = self._limits()
        span = min(max(right - left, LEAST_SPAN_S), high - low)
        left = (left + right - span) / 2
        low, high = low + (high - low - span) * BEFORE, high - (high - low - span) * AFTER
        left = min(max(left, low), high - span)
        room = self.room()
        self._top = min(max(self._top if top is None else top, 0.0), max(0.0, self.scene_of.tops[-1] - room))
        self._times = (left, left + span)
        self._view_box.setRange(
            xRange=self._times, yRange=(self._top, self._top + room), padding=0, disableAutoRange=True
        )
        self._view_box.updateMatrix()  # else it waits for the next painting, and items move once more then
        self.now_item.reshape()
        self._now_px = round(self.scene_of.frame().x(self.scene_of.view.now))
        self.now_item.setPos(seconds_of(self.scene_of.view.now), 0)
        self.repaint_all()
        self.turned.emit()

    def to_now(self) -> None:
        """Show the present and the next work, enlarged."""
        view = self.scene_of.view
        if view is None:
            return
        now = seconds_of(view.now)
        soonest = seconds_of(view.soonest) if view.soonest else now
        span = NOW_SPAN_S if view.by_person else NOW_SPAN_ZONES_S
        left = max(min(now, soonest) - span * NOW_BEHIND, now - span * NOW_BEHIND_AT_MOST)
        self.turn(left, max(left + span, soonest + SOONEST_SEEN_S), 0.0)
        self.follows = True

    def to_whole(self) -> None:
        """Show the whole day."""
        self.turn(*self._limits())
        self.follows = False

    # Fingers.

    def viewportEvent(self, event: QEvent) -> bool:
        """Handle touches: one drags, two pinch; a third one is a drop of water and ignored."""
        if isinstance(event, QTouchEvent):
            down = [p.position() for p in event.points() if p.state() != p.state().Released][:2]
            ended = event.type() in (QEvent.Type.TouchEnd, QEvent.Type.TouchCancel)
            self._fingers_at([] if ended else down)
            event.accept()
            return True
        return super().viewportEvent(event)

    def _fingers_at(self, down: list[QPointF]) -> None:
        before, self._fingers = self._fingers, down
        self.follows = self.follows and not (before and down)
        if len(before) == len(down) == 1:
            self._drag(down[0] - before[0])
        elif len(before) == len(down) == 2:
            self._pinch(before, down)

    def _drag(self, by: QPointF) -> None:
        per_px = self._seconds_per_px()
        left, right = self._times
        self.turn(left - by.x() * per_px, right - by.x() * per_px, self._top - by.y() / self._look.mm(1))

    def _pinch(self, before: list[QPointF], down: list[QPointF]) -> None:
        """Keep the moments under both fingers; fingers above one another are ignored."""
        least = self._look.mm(LEAST_PINCH)
        was, becomes = abs(before[0].x() - before[1].x()), abs(down[0].x() - down[1].x())
        if was < least or becomes < least:
            return
        x_was, x_is = (before[0].x() + before[1].x()) / 2, (down[0].x() + down[1].x()) / 2
        self._zoom(was / becomes, x_was, x_is)

    def _zoom(self, by: float, x_was: float, x_is: float) -> None:
        """Change the visible span of time; the moment at one column moves to the other."""
        view, per_px = self.scene_of.frame().view, self._seconds_per_px()
        fixed = self._times[0] + (x_was - view.left()) * per_px
        low, high = self._limits()
        span = min(max((self._times[1] - self._times[0]) * by, LEAST_SPAN_S), high - low)
        left = fixed - (x_is - view.left()) / view.width() * span
        self.turn(left, left + span)

    def _seconds_per_px(self) -> float:
        return (self._times[1] - self._times[0]) / max(1.0, self.scene_of.frame().view.width())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._fingers = [event.position()]
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._fingers_at([event.position()])
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._fingers = []
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        x = event.position().x()
        self.follows = False
        self._zoom(WHEEL ** (event.angleDelta().y() / NOTCH), x, x)
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_palette"):  # pyqtgraph resizes from within its constructor
            self.look_changed()
