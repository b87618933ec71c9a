"""A page to type an amount, a day, a batch, a plate or a name, with keys for gloves."""

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from bayapp.pages.input.typed_entry import ERASE, SHIFT, SPACE, TypingView
from bayapp.screen.widgets.entry_page import EDGE, GAP, EntryPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

FIELD = 25.5
ERASING = 33.0
TALLEST = 38.0
CAP = 7.6
SHOWN_SHARE = 0.44


class ShownField(QWidget):
    """What is typed, with its unit."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.text = self.unit = ""
        self._quiet = False

    def show_text(self, text: str, unit: str, *, quiet: bool = False) -> None:
        """Show what is typed; ``quiet``: it is the old value, which the first key replaces."""
        self.text, self.unit, self._quiet = text, unit, quiet
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, palette, box = self._look.mm, self._look.palette, QRectF(self.rect())
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(palette.tile_raised)
            painter.drawRoundedRect(box, mm(3), mm(3))
            unit = QRectF(box.right() - mm(16), box.top(), mm(13), box.height()) if self.unit else QRectF()
            paint_words(painter, unit, self.unit, mm(6), palette.text_quiet)
            room = box.adjusted(mm(5), 0, -mm(20) if self.unit else -mm(5), 0)
            paint_words(
                painter, room, self.text or "–", mm(CAP), palette.text_quiet if self._quiet else palette.text, lines=3
            )


class TypingPage(EntryPage):
    """A page to type on.

    Signals:
        key_pressed: a key was touched; carries it.
    """

    key_pressed = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: TypingView | None = None
        self.field = ShownField(look, self)
        self.erase = GloveButton(look, self)
        self.erase.show_words(_("Erase"), title_mm=5.0)
        self.erase.patience = KEY_PATIENCE
        self.erase.clicked.connect(lambda: self.key_pressed.emit(ERASE))
        self.keys: list[GloveButton] = []

    def show_typing(self, view: TypingView) -> None:
        """Show what has been typed, and the keys."""
        again = self._view is None or (self._view.keys, self._view.shift) != (view.keys, view.shift)
        self._view = view
        self.show_head(view.title, view.subtitle, view.trouble, view.note)
        self.field.show_text(view.shown, view.unit, quiet=view.untouched)
        if again:
            self.lay_out()

    def _labels(self) -> list[list[str]]:
        """Return the keys row by row; the one that swaps letters and digits is the last."""
        if self._view is None:
            return []
        rows = [list(row) for row in self._view.keys]
        if self._view.shift:
            rows[-1].append(SHIFT)
        return rows

    def lay_out(self) -> None:
        super().lay_out()
        mm, gap, whole = self._look.mm, self._look.mm(GAP), QRectF(self.rect())
        left, right, top = mm(EDGE), whole.width() - mm(EDGE), mm(HEAD + GAP)
        shown = (right - left) * SHOWN_SHARE
        place(self.field, QRectF(left, top, shown, mm(FIELD)))
        place(self.erase, QRectF(left + shown + gap, top, mm(ERASING), mm(FIELD)))
        record = left + shown + mm(ERASING) + 2 * gap
        place(self.record_button, QRectF(record, top, right - record, mm(FIELD)))
        self._lay_out_keys(
            QRectF(left, top + mm(FIELD) + gap, right - left, whole.height() - top - mm(FIELD) - gap - mm(EDGE))
        )

    def _lay_out_keys(self, box: QRectF) -> None:
        view, rows, gap = self._view, self._labels(), self._look.mm(GAP)
        if view is None or not rows:
            return
        labels = [label for row in rows for label in row]
        while len(self.keys) < len(labels):
            self.keys.append(self._key())
        columns = max(map(len, rows))
        tall = min(self._look.mm(TALLEST), (box.height() - gap * (len(rows) - 1)) / len(rows))
        wide = (box.width() - gap * (columns - 1)) / columns
        place_of = [(n, m) for n, row in enumerate(rows) for m in range(len(row))]
        for button in self.keys[len(labels) :]:
            button.hide()
        for button, label, (row, column) in zip(self.keys, labels, place_of, strict=False):
            words = {SHIFT: view.shift, SPACE: _("space")}.get(label, label)
            button.show_words(words, title_mm=9.0 if len(label) == 1 else 5.0)
            button.setProperty("key", label)
            place(button, QRectF(box.left() + column * (wide + gap), box.top() + row * (tall + gap), wide, tall))
            button.show()

    def _key(self) -> GloveButton:
        button = GloveButton(self._look, self)
        button.patience = KEY_PATIENCE
        button.clicked.connect(lambda _=False: self.key_pressed.emit(str(button.property("key"))))
        return button
