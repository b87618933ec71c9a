"""The only kind of button: large, sized in millimetres, with an optional long press."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum

from PySide6.QtCore import QElapsedTimer, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QHideEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import QAbstractButton, QWidget

from bayapp.drawing.badges import badge_on_plate, badge_on_slab, paint_badge
from bayapp.drawing.colour_math import contrast
from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets.fingers import Finger, now_ms
from bayapp.screen.widgets.glyphs import paint_glyph
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter
from bayapp.screen.widgets.typeset import paint_words

HOLD_MS = 2000
SETTLE_MS = 600
UNHURRIED = (Urgency.OPEN, Urgency.IDLE)
PRESSED_SHADE = 0.18
WORDS_CONTRAST = 7.0
FRAME_MS = 40
TITLE_SHARE, LOUD_SHARE = 0.56, 0.42
LOUD = 6.2
"""The capitals of a warning, mm: read from 3 m."""
BOUNCE_MM = 25.0
"""How far from the last touch a second one may still be its bounce: the breadth of a glove."""
ELSEWHERE = 0.4
"""The share of the usual pause for a finger that goes on to another place of a page that has just come up."""
KEY_PATIENCE = 0.25
"""What a key of a keypad asks for of the usual pause: "22" is typed quicker than a step is begun."""


class Style(Enum):
    """How much a button stands out."""

    FILLED = "filled"
    OUTLINED = "outlined"
    SECOND = "second"
    QUIET = "quiet"
    REFUSED = "refused"
    CHOSEN = "chosen"


@dataclass(frozen=True, slots=True)
class _Shown:
    """What a button shows; see ``GloveButton.show_words``."""

    title: str = ""
    detail: str = ""
    style: Style = Style.OUTLINED
    badge: Urgency | None = None
    fraction: float = 1.0
    title_mm: float = 6.5
    glyph: str = ""
    loud: bool = False
    fill: str = ""


class GloveButton(QAbstractButton):
    """A button for a wet glove.

    Attributes:
        hold_to_act: a refused button that asks for a reason when it is held for two seconds.
        patience: the share of the usual pause that must pass between two touches; smaller for the keys of a keypad.

    Signals:
        held: the button was held for two seconds; no ``clicked`` follows.
    """

    held = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._shown = _Shown()
        self.hold_to_act = False
        self.patience = 1.0
        self._pause = 1.0
        self._came_up = False
        self._was_held = False
        self._meant = True
        self._holding = QElapsedTimer()
        self._changed_ms: int | None = None
        self._seen_ms: int | None = None
        self._frame = QTimer(self)
        self._frame.setInterval(FRAME_MS)
        self._frame.timeout.connect(self._hold_on)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def show_words(
        self,
        title: str,
        detail: str = "",
        *,
        style: Style = Style.OUTLINED,
        badge: Urgency | None = None,
        fraction: float = 1.0,
        title_mm: float = 6.5,
        glyph: str = "",
        loud: bool = False,
        fill: str = "",
    ) -> None:
        """Set the words and look of the button; it is repainted only if something changed.

        Small words that are ``loud`` are a warning: they are written large, and the title somewhat smaller. ``fill``
        paints the sign of a car in the car's colour.
        """
        self._show(_Shown(title, detail, style, badge, fraction, title_mm, glyph, loud, fill))

    def _show(self, shown: _Shown) -> None:
        if shown == self._shown:
            return
        if self._shown.title and shown.title != self._shown.title:
            self.mean_another()
        self._shown = shown
        self.setText(shown.title)
        self.setAccessibleDescription(shown.detail)
        self.update()

    def retranslate(self, translate: Callable[[str], str]) -> None:
        """Translate the button's words after a change of language."""
        shown = self._shown
        self._show(replace(shown, title=translate(shown.title), detail=translate(shown.detail)))

    @property
    def title(self) -> str:
        """The large words of the button."""
        return self._shown.title

    @property
    def detail(self) -> str:
        """The small words of the button."""
        return self._shown.detail

    def settled(self) -> bool:
        """Whether the button has been there unchanged for long enough that a touch can be meant for it.

        A wet glove bounces: right after "done" the same spot may already offer to begin the next step, or a page of
        buttons may have replaced the car that was touched. Who touches another place of that page means it sooner.
        """
        return self._settled_for(self._look.fingers.last, now_ms())

    def _settled_for(self, finger: Finger | None, at_ms: int, dated: bool = False) -> bool:
        """Whether it had been seen as it is for long enough at a moment, by the finger that came down last.

        The moment of a finger is its own, however late the window hears of it: none can be meant for what was not yet
        painted when it came down.
        """
        if self._changed_ms is None:
            return True
        elsewhere = finger is not None and finger.elsewhere(self._look.mm(BOUNCE_MM))
        pause = self._pause * (ELSEWHERE if self._came_up and elsewhere else 1.0)
        if self._seen_ms is None and dated:
            return False
        since = self._changed_ms if self._seen_ms is None else self._seen_ms
        return at_ms - since >= SETTLE_MS * pause

    def come_up(self) -> None:
        """Take it for new: the page that it stands on has just been turned to."""
        self.mean_another()
        self._came_up = True

    def mean_another(self, pause: float = 1.0) -> None:
        """Take no touch for a while, nor the one that rests on it: from now on it asks for something else.

        Args:
            pause: the share of the usual pause.
        """
        self._unsettle(pause)
        self._meant = self._meant and not self.isDown()
        self._forget_hold()

    @property
    def counts_hold(self) -> bool:
        """Whether a finger rests on it and the seconds are counted."""
        return self._frame.isActive()

    def sizeHint(self) -> QSize:
        return QSize(round(self._look.mm(40)), round(self._look.mm(26)))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        finger = self._look.fingers.down(event)
        self._was_held = False
        self._meant = self._settled_for(finger, finger.at_ms, finger.dated)
        if self.hold_to_act:
            self._holding.start()
            self._frame.start()
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._forget_hold()
        self.update()
        if not self.isDown():  # the finger slid away, or another widget went from under it
            super().mouseReleaseEvent(event)
            return
        if self._was_held or not self._meant:
            self.setDown(False)
            event.accept()
            if not self._was_held:
                self._tell_not_taken()
            return
        super().mouseReleaseEvent(event)
        # The same words may by now mean the next thing: a second "undo" takes back one more.
        self._unsettle(self.patience, self._seen_ms is not None)

    def showEvent(self, event: QShowEvent) -> None:
        self.come_up()
        super().showEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        self._forget_hold()
        if self.isDown() and not self._was_held:  # the page turned under the finger
            self._tell_not_taken()
        super().hideEvent(event)

    def tell_not_taken(self) -> None:
        """Tell that a press by a key was not taken."""
        self._look.fingers.not_taken(QPointF(self.mapToGlobal(self.rect().center())))

    def _tell_not_taken(self) -> None:
        """Tell that a touch was not taken; of a mere bounce nobody is told."""
        finger = self._look.fingers.last
        if finger and not finger.bounces(self._look.mm(BOUNCE_MM)):
            self._look.fingers.not_taken(finger.spot)

    def _unsettle(self, pause: float = 1.0, seen: bool = False) -> None:
        """Begin a pause; it counts from when the button is seen as it is now, or from now where it is ``seen``."""
        self._pause = pause
        self._came_up = False
        self._changed_ms = now_ms()
        self._seen_ms = self._changed_ms if seen else None
        if not seen:
            self.update()

    def _forget_hold(self) -> None:
        self._frame.stop()
        self._holding.invalidate()

    def _hold_on(self) -> None:
        self.update()
        if not self.hold_to_act:  # what was refused has become right under the finger
            self._forget_hold()
            return
        if self._holding.isValid() and self._holding.elapsed() >= HOLD_MS:
            self._frame.stop()
            self._was_held = True
            self.held.emit()

    def _held_share(self) -> float:
        return min(1.0, self._holding.elapsed() / HOLD_MS) if self._holding.isValid() and self.hold_to_act else 0.0

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._changed_ms is not None and self._seen_ms is None:
            self._seen_ms = now_ms()
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, box = self._look.mm, QRectF(self.rect())
            ink, quiet = self._paint_ground(painter, box)
            pad = mm(5.5) if box.width() > mm(60) else mm(2.5)
            body = box.adjusted(pad, mm(2.5), -pad, -mm(2.5))
            if self._shown.badge is not None:
                body = self._paint_badge(painter, box, body, self._shown.badge)
            if self._shown.glyph:
                body = self._paint_glyph(painter, body, ink)
            self._paint_words(painter, body, ink, quiet)

    def _paint_ground(self, painter: QPainter, box: QRectF) -> tuple[str, str]:
        """Paint the button's body; return the colours for its words."""
        palette, mm = self._look.palette, self._look.mm
        edge = mm(0.7)
        inner = box.adjusted(edge, edge, -edge, -edge)
        fill, rim, ink, quiet = self._colours()
        painter.setBrush(QColor(fill))
        painter.setPen(QPen(QColor(rim), mm(0.9)) if rim else Qt.PenStyle.NoPen)
        painter.drawRoundedRect(inner, mm(4), mm(4))
        share = self._held_share()
        if share:
            painter.save()
            painter.setClipRect(QRectF(box.left(), box.top(), box.width() * share, box.height()))
            painter.setBrush(QColor(palette.state(Urgency.LAPSED)))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawRoundedRect(inner, mm(4), mm(4))
            painter.restore()
            ink = quiet = palette.ink_on(Urgency.LAPSED) if share > 0.5 else ink
        elif self.isDown():
            painter.setBrush(self._pressed_over(fill))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawRoundedRect(inner, mm(4), mm(4))
        return ink, quiet

    def _colours(self) -> tuple[str, str, str, str]:
        """Return fill, rim, ink and quiet ink."""
        palette = self._look.palette
        if self._shown.style is Style.FILLED and self._shown.badge is not None:
            if self._shown.badge in UNHURRIED:
                return palette.flag, palette.flag, palette.flag_text, palette.flag_text
            ink = palette.ink_on(self._shown.badge)
            if not self._on_slab(self._shown.badge):
                return palette.state(self._shown.badge), "", ink, ink
            rim = palette.state(self._shown.badge)
            return palette.slab_button, rim, palette.slab_button_text, palette.slab_button_quiet
        if self._shown.style is Style.CHOSEN:
            return palette.tile_raised, palette.ring, palette.text, palette.text_quiet
        if self._shown.style is Style.SECOND:
            return palette.tile_raised, palette.text_quiet, palette.text, palette.text_quiet
        if self._shown.style is Style.REFUSED:
            return palette.tile, palette.text_quiet, palette.text, palette.text_quiet
        if self._shown.style is Style.OUTLINED:
            return palette.tile, palette.track, palette.text, palette.text_quiet
        return palette.strip, "", palette.text, palette.text_quiet

    def _pressed_over(self, fill: str) -> QColor:
        """Return what is laid over a button while it is held down: on one as white as the flag a shade."""
        palette = self._look.palette
        if fill != palette.flag:
            return QColor(palette.pressed)
        shade = QColor(palette.flag_text)
        shade.setAlphaF(PRESSED_SHADE)
        return shade

    def _on_slab(self, badge: Urgency) -> bool:
        """Whether the state's colour is only a slab under the badge.

        So it is where nothing presses: the button is then as white as the flag on the car, for both say what is next.
        And where words in its ink would be unreadable on it.
        """
        palette = self._look.palette
        return badge in UNHURRIED or contrast(palette.state(badge), palette.ink_on(badge)) < WORDS_CONTRAST

    def _paint_badge(self, painter: QPainter, box: QRectF, body: QRectF, badge: Urgency) -> QRectF:
        palette, mm = self._look.palette, self._look.mm
        side = min(box.height() - mm(10), mm(24))
        spot = QRectF(body.left(), box.center().y() - side / 2, side, side)
        filled = self._shown.style is Style.FILLED
        on_slab = filled and self._on_slab(badge)
        if on_slab:
            self._paint_slab(painter, box, spot.right() + spot.left() - box.left(), badge)
        colours = badge_on_slab(palette, badge) if filled else badge_on_plate(palette, badge)
        paint_badge(painter, badge, spot, colours, self._shown.fraction)
        return body.adjusted(side + mm(9 if on_slab else 5), 0, 0, 0)

    def _paint_slab(self, painter: QPainter, box: QRectF, width: float, badge: Urgency) -> None:
        mm = self._look.mm
        edge = mm(0.7)
        painter.save()
        painter.setClipRect(QRectF(box.left(), box.top(), width, box.height()))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._look.palette.state(badge)))
        painter.drawRoundedRect(box.adjusted(edge, edge, -edge, -edge), mm(4), mm(4))
        painter.restore()

    def _paint_glyph(self, painter: QPainter, body: QRectF, ink: str) -> QRectF:
        """Paint the glyph at the top of a narrow button."""
        mm = self._look.mm
        side = min(mm(11), body.height() * 0.5)
        if not self._shown.title:
            paint_glyph(
                painter,
                self._shown.glyph,
                QRectF(body.center().x() - side / 2, body.center().y() - side / 2, side, side),
                ink,
                self._shown.fill,
            )
            return body
        if body.width() < mm(60) and body.height() > mm(30):
            paint_glyph(
                painter,
                self._shown.glyph,
                QRectF(body.center().x() - side / 2, body.top() + mm(2), side, side),
                ink,
                self._shown.fill,
            )
            return body.adjusted(0, side + mm(3), 0, 0)
        paint_glyph(
            painter,
            self._shown.glyph,
            QRectF(body.left(), body.center().y() - side / 2, side, side),
            ink,
            self._shown.fill,
        )
        return body.adjusted(side + mm(3.5), 0, 0, 0)

    def _paint_words(self, painter: QPainter, body: QRectF, ink: str, quiet: str) -> None:
        mm, narrow = (
            self._look.mm,
            self._shown.badge is None and (not self._shown.glyph or body.height() < self.height() * 0.7),
        )
        align = Qt.AlignmentFlag.AlignHCenter if narrow else Qt.AlignmentFlag.AlignLeft
        title_cap = mm(self._shown.title_mm)
        lines = 2 if body.height() > mm(20) else 1
        if not self._shown.detail:
            paint_words(painter, body, self._shown.title, title_cap, ink, lines=lines + 1, align=align)
            return
        share = LOUD_SHARE if self._shown.loud else TITLE_SHARE
        upper = QRectF(body.left(), body.top(), body.width(), body.height() * share)
        lower = QRectF(body.left(), upper.bottom(), body.width(), body.height() - upper.height())
        paint_words(painter, upper, self._shown.title, title_cap, ink, lines=lines, align=align)
        if self._shown.loud:
            paint_words(painter, lower, self._shown.detail, mm(LOUD), ink, lines=2, align=align)
            return
        paint_words(
            painter,
            lower,
            self._shown.detail,
            mm(5.4 if self._shown.title_mm > 8 else 4.8),
            quiet,
            bold=False,
            lines=2,
            align=align,
        )
