"""Locks the glass against water, cloths and elbows: only a deliberate hold on the sign has an effect.

Keys and foot switches still work, alerts are shown and heard, and every clock stays visible.

The locked glass swallows touch and mouse events for the whole application. It unlocks when the hold is let go, not at
two seconds: a drop of water holds still, too.
"""

from datetime import timedelta

from PySide6.QtCore import QCoreApplication, QElapsedTimer, QEvent, QObject, QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QColor, QEventPoint, QMouseEvent, QPainter, QPaintEvent, QPen, QTouchEvent, QWindow
from PySide6.QtWidgets import QWidget

from bayapp.pages.input.glove_lock import Holding, HoldToUnlock
from bayapp.screen.widgets.glyphs import paint_glyph
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import MARGIN
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import paint_words
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _

WIDE = 112.0
FRAME_MS = 40
MOUSE = -1
_KINDS = QEvent.Type
TOUCHES = {_KINDS.TouchBegin, _KINDS.TouchUpdate, _KINDS.TouchEnd, _KINDS.TouchCancel}
MOUSE_EVENTS = {
    _KINDS.MouseButtonPress,
    _KINDS.MouseButtonDblClick,
    _KINDS.MouseMove,
    _KINDS.MouseButtonRelease,
}
OTHERS = {
    _KINDS.Wheel,
    _KINDS.ContextMenu,
    _KINDS.Gesture,
    _KINDS.NativeGesture,
    _KINDS.TabletPress,
    _KINDS.TabletMove,
    _KINDS.TabletRelease,
}


class LockSign(QWidget):
    """Shows that the glass is locked, and where to hold."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._holding, self._share = Holding.NOTHING, 0.0
        self.hide()

    def show_hold(self, holding: Holding, share: float) -> None:
        """Show the state of the hold."""
        if (holding, share) != (self._holding, self._share):
            self._holding, self._share = holding, share
            self.update()

    @property
    def instruction(self) -> str:
        """The instruction for the present state."""
        return {
            Holding.NOTHING: _("hold here 2 s, let go"),
            Holding.KEPT: _("keep holding"),
            Holding.ENOUGH: _("let go now"),
            Holding.SPOILED: _("take all off the glass"),
        }[self._holding]

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, palette, box = self._look.mm, self._look.palette, QRectF(self.rect())
            edge = mm(0.7)
            inner = box.adjusted(edge, edge, -edge, -edge)
            painter.setPen(QPen(QColor(palette.ring), mm(1.2)))
            painter.setBrush(QColor(palette.tile_raised))
            painter.drawRoundedRect(inner, mm(4), mm(4))
            if self._share:
                bar = QRectF(inner.left() + mm(4), inner.bottom() - mm(4), (inner.width() - mm(8)) * self._share, mm(2))
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(palette.ring))
                painter.drawRoundedRect(bar, mm(1), mm(1))
            side = min(mm(22), box.height() - mm(9))
            spot = QRectF(box.left() + mm(4), box.center().y() - side / 2 - mm(1), side, side)
            paint_glyph(painter, "lock", spot, palette.text)
            body = QRectF(spot.right() + mm(4), box.top() + mm(2), 0, box.height() - mm(7))
            body.setRight(box.right() - mm(4))
            upper = QRectF(body.left(), body.top(), body.width(), body.height() * 0.58)
            lower = QRectF(body.left(), upper.bottom(), body.width(), body.height() - upper.height())
            paint_words(painter, upper, _("Locked"), mm(14), palette.text)
            paint_words(painter, lower, self.instruction, mm(6.5), palette.text, bold=False)


class GloveLock(QObject):
    """Swallows every touch between ``lock`` and a hold on the sign."""

    def __init__(self, window: Wall) -> None:
        super().__init__(window)
        self._window = window
        self.locked = False
        self._hold = HoldToUnlock()
        self._since = QElapsedTimer()
        self._since.start()
        self.sign = LockSign(window.look, window)
        self._frame = QTimer(self)
        self._frame.setInterval(FRAME_MS)
        self._frame.timeout.connect(self._show)
        window.refresher.refreshed.connect(self._place)
        window.closing.connect(self.unlock)

    def lock(self) -> None:
        """Ignore all touches from now on."""
        self._window.pages.show_board()
        self._set(True)

    def unlock(self) -> None:
        """Let touches work again."""
        if self.locked:
            self._set(False)

    def _set(self, locked: bool) -> None:
        application = QCoreApplication.instance()
        assert application
        self.locked = locked
        self._hold.cancel()
        self._frame.stop()
        (application.installEventFilter if locked else application.removeEventFilter)(self)
        self.sign.setVisible(locked)
        self.sign.show_hold(Holding.NOTHING, 0.0)
        self._window.keep_bar_end_free(WIDE + MARGIN if locked else 0.0)
        self._place()
        self.sign.raise_()

    def _place(self) -> None:
        """Place the sign at the end of the bar, which leaves room for it."""
        if not self.locked:
            return
        bar = self._window.layout_mm.bar
        place(self.sign, self._window.look.measure.rect(QRectF(bar.right() + MARGIN, bar.top(), WIDE, bar.height())))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Swallow all touch and mouse events; keys and everything else pass."""
        kind = event.type()
        if kind not in TOUCHES and kind not in MOUSE_EVENTS and kind not in OTHERS:
            return False
        if not self.locked or not isinstance(watched, QWidget | QWindow):
            return False
        if isinstance(event, QTouchEvent):
            self._touch(event)
        elif kind in MOUSE_EVENTS and isinstance(event, QMouseEvent):
            self._mouse(kind, event)
        event.accept()  # else Qt makes a mouse of the touch
        return True

    def _touch(self, event: QTouchEvent) -> None:
        if event.type() == QEvent.Type.TouchCancel:
            self._hold.cancel()
        for point in event.points():
            if point.state() == QEventPoint.State.Pressed:
                self._down(point.id(), point.globalPosition())
            elif point.state() == QEventPoint.State.Released:
                self._up(point.id(), point.globalPosition())
            else:
                self._moved(point.id(), point.globalPosition())

    def _mouse(self, kind: QEvent.Type, event: QMouseEvent) -> None:
        if kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick):
            self._down(MOUSE, event.globalPosition())
        elif kind == QEvent.Type.MouseButtonRelease:
            self._up(MOUSE, event.globalPosition())
        else:
            self._moved(MOUSE, event.globalPosition())

    def _now(self) -> timedelta:
        return timedelta(milliseconds=self._since.elapsed())

    def _in_mm(self, spot: QPointF) -> tuple[float, float]:
        per_mm = self._window.look.measure.px_per_mm
        return spot.x() / per_mm, spot.y() / per_mm

    def _down(self, touch: int, spot: QPointF) -> None:
        on_mark = QRectF(self.sign.rect()).contains(self.sign.mapFromGlobal(spot))
        self._hold.down(touch, *self._in_mm(spot), on_mark, self._now())
        self._frame.start()
        self._show()

    def _moved(self, touch: int, spot: QPointF) -> None:
        self._hold.moved(touch, *self._in_mm(spot))

    def _up(self, touch: int, spot: QPointF) -> None:
        self._moved(touch, spot)
        if self._hold.up(touch, self._now()):
            self.unlock()
        else:
            self._show()

    def _show(self) -> None:
        holding = self._hold.holding(self._now())
        if holding is Holding.NOTHING:
            self._frame.stop()
        self.sign.show_hold(holding, self._hold.share(self._now()))
