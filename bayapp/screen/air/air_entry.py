"""The page to type an air reading on: three fields, a keypad, "Record"."""

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.digits import paint_digits
from bayapp.pages.air.air_entry import BACK, MINUS, NEXT, POINT, AirEntryView, AirField, EntryField
from bayapp.screen.widgets.entry_page import GAP, EntryPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import fit_digits, paint_words
from bayapp.text.language import _, right_to_left

ROWS = 4
COLUMNS = 4
TALLEST = 46.0
KEYPAD_SHARE = 0.52
WITHDRAW_SHARE = 0.36
UNIT = 13.0
# key: row, column, rows
PLACES = {
    "7": (0, 0, 1),
    "8": (0, 1, 1),
    "9": (0, 2, 1),
    BACK: (0, 3, 2),
    "4": (1, 0, 1),
    "5": (1, 1, 1),
    "6": (1, 2, 1),
    "1": (2, 0, 1),
    "2": (2, 1, 1),
    "3": (2, 2, 1),
    NEXT: (2, 3, 2),
    MINUS: (3, 0, 1),
    "0": (3, 1, 1),
    POINT: (3, 2, 1),
}


class FieldButton(GloveButton):
    """One field: its name at the left, what is typed at the right; the chosen one has the ring."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._field: EntryField | None = None

    def show_field(self, field: EntryField) -> None:
        """Show a field; it is repainted only if something changed."""
        if field == self._field:
            return
        self._field = field
        style = Style.CHOSEN if field.chosen else Style.OUTLINED
        self.show_words(field.title, field.note, style=style)
        self.update()

    @property
    def field(self) -> EntryField | None:
        """What is shown."""
        return self._field

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._field is None:
            return
        with page_painter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mm, box = self._look.mm, QRectF(self.rect())
            ink, quiet = self._paint_ground(painter, box)
            body = box.adjusted(mm(4.5), mm(2.5), -mm(4), -mm(2.5))
            unit = QRectF(body.right() - mm(UNIT), body.top(), mm(UNIT), body.height())
            paint_words(painter, unit, self._field.unit, mm(6), quiet, align=Qt.AlignmentFlag.AlignRight)
            words = QRectF(body.left(), body.top(), body.width() * 0.42, body.height())
            upper = words.adjusted(0, 0, 0, -words.height() * 0.42) if self._field.note else words
            paint_words(painter, upper, self._field.title, mm(5.8), ink)
            lower = QRectF(words.left(), upper.bottom(), words.width(), words.bottom() - upper.bottom())
            paint_words(painter, lower, self._field.note, mm(3.9), quiet, bold=False)
            right = unit.left() - mm(2)
            self._paint_value(
                painter, QRectF(words.right(), body.top(), right - words.right(), body.height()), self._field
            )

    def _paint_value(self, painter: QPainter, box: QRectF, field: EntryField) -> None:
        mm, palette = self._look.mm, self._look.palette
        if not field.typed:
            align = Qt.AlignmentFlag.AlignRight
            paint_words(painter, box, field.last, mm(5), palette.text_quiet, bold=False, align=align)
            return
        font = fit_digits(field.typed, box.width(), mm, tallest=13, least=6)
        paint_digits(painter, box, field.typed, font, palette.text)


class AirEntryPage(EntryPage):
    """The page to type an air reading on.

    Signals:
        key_pressed: a key was touched; carries it.
        field_chosen: a field was touched; carries the AirField.
        withdrawal_wanted: the reading being corrected is to be withdrawn; by a hold, not a touch.
    """

    key_pressed = Signal(str)
    field_chosen = Signal(object)
    withdrawal_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.fields: dict[AirField, FieldButton] = {}
        for field in AirField:
            button = self.fields[field] = FieldButton(look, self)
            button.clicked.connect(lambda _=False, f=field: self.field_chosen.emit(f))
        self.withdraw_button = GloveButton(look, self)
        self.withdraw_button.hold_to_act = True
        self.withdraw_button.held.connect(self.withdrawal_wanted)
        self.keys: dict[str, GloveButton] = {}
        for key in PLACES:
            self.keys[key] = self._key(key)

    def _key(self, key: str) -> GloveButton:
        button = GloveButton(self._look, self)
        if key == BACK:
            button.show_words(_("Erase"), title_mm=5.0)
        elif key == NEXT:
            button.show_words(_("Next"), title_mm=5.0)
        else:
            button.show_words("−" if key == MINUS else key, title_mm=10.5)
            button.patience = KEY_PATIENCE
        button.clicked.connect(lambda _=False: self.key_pressed.emit(key))
        return button

    def show_entry(self, view: AirEntryView) -> None:
        """Show what has been typed."""
        self.show_head(view.title, view.subtitle, view.trouble, view.note)
        self.withdraw_button.show_words(_("Hold for 2 s: withdraw it"), style=Style.OUTLINED, title_mm=5.0)
        if view.may_withdraw == self.withdraw_button.isHidden():
            self.withdraw_button.setVisible(view.may_withdraw)
            self.lay_out()
        for field in view.fields:
            self.fields[field.field].show_field(field)

    def lay_out(self) -> None:
        super().lay_out()
        rows, gap = self.rows(ROWS, TALLEST), self._look.mm(GAP)
        left = rows[0].width() * (1 - KEYPAD_SHARE) - gap
        for button, row in zip((*self.fields.values(), self.record_button), rows, strict=True):
            place(button, QRectF(row.left(), row.top(), left, row.height()))
        if not self.withdraw_button.isHidden():
            record, withdraw = (left - gap) * (1 - WITHDRAW_SHARE), (left - gap) * WITHDRAW_SHARE
            row = rows[-1]
            place(self.record_button, QRectF(row.left(), row.top(), record, row.height()))
            place(self.withdraw_button, QRectF(row.left() + record + gap, row.top(), withdraw, row.height()))
        wide = (rows[0].width() * KEYPAD_SHARE - gap * (COLUMNS - 1)) / COLUMNS
        for key, (first, column, tall) in PLACES.items():
            upper, lower = rows[first], rows[first + tall - 1]
            at = COLUMNS - 1 - column if right_to_left() else column  # digits stand as on every keypad
            x = upper.left() + left + gap + at * (wide + gap)
            place(self.keys[key], QRectF(x, upper.top(), wide, lower.bottom() - upper.top()))
