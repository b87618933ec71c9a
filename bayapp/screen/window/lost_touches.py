"""Says of a touch that nothing takes that it was not taken, and keeps touches from a page that came up under them."""

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, QTimer
from PySide6.QtGui import QMouseEvent, QWindow
from PySide6.QtWidgets import QWidget

from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.sound import Voice
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.fingers import Finger, now_ms
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.sign import Sign
from bayapp.text.language import _

WIDE, TALL, ABOVE = 150.0, 27.0, 24.0
SHOWN_MS = 2_500
DOWN = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick)


class LostTouches(QObject):
    """Watches the touches on one window.

    A touch belongs to what was painted under the finger when it came down. Buttons judge that themselves; what else
    takes touches, as the drawn car does, is kept from those that came before it was seen. It is told by a small sign
    above the finger, and by a knock.

    Attributes:
        sign: says that a touch was not taken.
    """

    def __init__(self, window: QWidget, look: Look, pages: PageStack, car: QWidget, voice: Voice) -> None:
        super().__init__(window)
        self._window, self._look, self._pages, self._car, self._voice = window, look, pages, car, voice
        self.sign = Sign(look, window)
        self._seen_ms: int | None = 0
        self._swallows = False
        self._once_painted = QTimer(self, singleShot=True, interval=0)
        self._once_painted.timeout.connect(self._see)
        look.fingers.not_taken = self.tell
        pages.turned.connect(self._turn)

    def watch(self, window: QWindow) -> None:
        """Watch the touches that this window hears of, before its widgets do."""
        window.installEventFilter(self)

    def tell(self, spot: QPointF) -> None:
        """Tell that a touch here, on the screen, was not taken."""
        mm, at = self._look.mm, self._window.mapFromGlobal(spot)
        left = min(max(0.0, at.x() - mm(WIDE) / 2), self._window.width() - mm(WIDE))
        top = at.y() - mm(ABOVE + TALL)
        if top < 0:
            top = at.y() + mm(ABOVE)
        self.sign.setGeometry(QRectF(left, top, mm(WIDE), mm(TALL)).toRect())
        self.sign.show_words(_("Not taken"), _("This had just changed. Look, then touch again."), SHOWN_MS)
        self._voice.knock()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Swallow a touch, and the lifting of its finger, that came before what lies under it was seen."""
        if not isinstance(event, QMouseEvent):
            return False
        if event.type() in DOWN:
            self._swallows = self._came_too_soon(event)
            if self._swallows:
                self.tell(event.globalPosition())
            return self._swallows
        if event.type() is QEvent.Type.MouseButtonRelease and self._swallows:
            self._swallows = False
            return True
        return False

    def _came_too_soon(self, event: QMouseEvent) -> bool:
        finger = self._look.fingers.down(event)
        under = self._window.childAt(event.position().toPoint())
        if under is None or isinstance(under, GloveButton) or not self._turns(under):
            return False
        return self._seen_ms is None or finger.at_ms - self._seen_ms < self._pause_ms(finger)

    def settled(self) -> bool:
        """Whether what came up last in the car's place has been seen for long enough that any touch is meant for it."""
        return self._seen_ms is not None and now_ms() - self._seen_ms >= glove_button.SETTLE_MS

    def _pause_ms(self, finger: Finger) -> float:
        elsewhere = finger.elsewhere(self._look.mm(glove_button.BOUNCE_MM))
        return glove_button.SETTLE_MS * (glove_button.ELSEWHERE if elsewhere else 1.0)

    def _turns(self, widget: QWidget) -> bool:
        """Whether a widget is the car, a page in its place, or a part of one."""
        return any(part is widget or part.isAncestorOf(widget) for part in (self._car, *self._pages.pages))

    def _turn(self) -> None:
        self._seen_ms = None
        self._once_painted.start()

    def _see(self) -> None:
        """Something else has been painted: painting comes before a timer."""
        self._seen_ms = now_ms()
