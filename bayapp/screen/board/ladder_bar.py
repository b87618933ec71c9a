"""The bar under a ladder: the one large button, and the small ones beside it."""

from PySide6.QtCore import QRectF, Signal, SignalInstance
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.job import Cover, FinishStep, Start, TakeUp
from bayapp.job.model.ids import Urgency
from bayapp.pages.board.ladder import LadderView
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.text.language import _

GAP = 13.0
SMALL = 54.0
UNDO = 50.0
NARROW_GAP = 7.0


class LadderBar(QWidget):
    """Begin and done are the same button; a refused one is held for two seconds to override it with a reason.

    Every button asks for what it shows, also where that has become untrue since it was painted.

    Signals:
        pressed: the large button was touched, or held where it must be; carries the request that it shows.
        deviation_wanted: the refused button was held; carries the request that is to override the refusal.
        undo_wanted: undo was touched; carries the Undo that it shows.
        note_wanted: a note was asked for.
        correct_wanted, aside_wanted: a time is to be corrected, zones to be set aside; carry the car and the zones.
    """

    pressed = Signal(object)
    deviation_wanted = Signal(object)
    undo_wanted = Signal(object)
    note_wanted = Signal()
    correct_wanted = Signal(str, tuple)
    aside_wanted = Signal(str, tuple)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._view: LadderView | None = None
        self.main = GloveButton(look, self)
        self.undo = GloveButton(look, self)
        self.note = GloveButton(look, self)
        self.correct = GloveButton(look, self)
        self.aside = GloveButton(look, self)
        self.main.clicked.connect(self._press)
        self.main.held.connect(self._hold)
        self.undo.clicked.connect(self._take_back)
        self.note.clicked.connect(self.note_wanted)
        self.correct.clicked.connect(lambda: self._emit_zones(self.correct_wanted))
        self.correct.show_words(_("Correct"), _("a time"), glyph="clock", title_mm=5.4)
        self.aside.clicked.connect(lambda: self._emit_zones(self.aside_wanted))
        self.aside.show_words(_("Set aside"), _("with a reason"), glyph="aside", title_mm=5.4)
        self.note.show_words(_("Note"), glyph="note", title_mm=5.4)

    def show_ladder(self, view: LadderView) -> None:
        """Show what the buttons do for this ladder; one that asks for something else takes no touch for a while."""
        before, self._view = self._view, view
        button = view.button
        if before and (before.job, before.zones, before.button.action) != (view.job, view.zones, button.action):
            self.main.mean_another()
        if before and before.undo != view.undo:
            self.undo.mean_another()
        style = Style.FILLED if button.action and not button.refused and not button.hold else Style.REFUSED
        style = Style.OUTLINED if style is Style.FILLED and button.restful else style
        urgency = Urgency.OPEN if style is Style.FILLED and button.urgency is Urgency.IDLE else button.urgency
        detail = button.detail
        if button.deviation:
            detail = f"{detail} {_('Hold for 2 s to carry on with a reason.')}"
        self.main.show_words(
            button.title,
            detail,
            style=style,
            badge=None if button.hold else urgency,
            fraction=view.fraction,
            glyph="warning" if button.hold else "",
            title_mm=9.5,
            loud=button.costs,
        )
        self.main.hold_to_act = button.hold or button.deviation is not None
        self.undo.show_words(_("Undo"), view.undo_text, glyph="undo", title_mm=5.4)
        self.undo.setVisible(view.undo is not None)
        self.correct.setVisible(view.may_correct)
        self.aside.setVisible(view.may_set_aside)
        self.note.setVisible(view.may_note)
        self._lay_out()

    @property
    def action(self) -> Start | FinishStep | TakeUp | None:
        """The request of the large button, as last painted."""
        return self._view.button.action if self._view else None

    @property
    def held(self) -> bool:
        """Whether the large button asks to be held, and so was."""
        return self._view is not None and self._view.button.hold

    def says_why_not(self, action: Start | FinishStep | TakeUp | Cover) -> bool:
        """Whether the large button shows why exactly this request is refused."""
        button = self._view.button if self._view else None
        return button is not None and button.refused and button.action == action

    def _press(self) -> None:
        if not self._view or not self.action or self._view.button.hold:
            return
        if self.main.settled():
            self.pressed.emit(self.action)
        else:
            self.main.tell_not_taken()

    def _hold(self) -> None:
        if self._view and self._view.button.deviation:
            self.deviation_wanted.emit(self._view.button.deviation)
        elif self._view and self._view.button.hold:
            self.pressed.emit(self._view.button.action)

    def _take_back(self) -> None:
        if self._view and self._view.undo:
            self.undo_wanted.emit(self._view.undo)

    def _emit_zones(self, wanted: SignalInstance) -> None:
        if self._view:
            wanted.emit(self._view.job, self._view.zones)

    def _lay_out(self) -> None:
        """Place the buttons from the right; the one beside the large button records nothing.

        "Undo" is the outermost, where the board has "More": never where the board offers to begin something.
        """
        mm, whole = self._look.mm, QRectF(self.rect())
        small, right = mm(SMALL), whole.width()
        for button in (self.undo, self.note, self.correct, self.aside):
            if button.isVisibleTo(self):
                width = mm(UNDO) if button is self.undo else small
                place(button, QRectF(right - width, 0, width, whole.height()))
                right -= width + mm(NARROW_GAP)
        place(self.main, QRectF(0, 0, right + mm(NARROW_GAP - GAP), whole.height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()
