"""The page on which paint is measured: the heat drawing to choose a zone on, a keypad, and what the readings say."""

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.digits import paint_digits
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import Urgency
from bayapp.pages.arrival.thickness import BACK, POINT, ThicknessView
from bayapp.screen.arrival.thickness_map import HeatCar
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import fit_digits, paint_words
from bayapp.text.language import _, right_to_left

KEYPAD_MM = 124.0
FIELD_MM = 21.0
WORDS_MM = 30.0
FILE_MM = 40.0
RECORD, TAKE_BACK = "record", "take-back"
COLUMNS, ROWS = 4, 4
# key: row, column, rows, columns
PLACES = {
    "7": (0, 0, 1, 1),
    "8": (0, 1, 1, 1),
    "9": (0, 2, 1, 1),
    BACK: (0, 3, 1, 1),
    "4": (1, 0, 1, 1),
    "5": (1, 1, 1, 1),
    "6": (1, 2, 1, 1),
    TAKE_BACK: (1, 3, 1, 1),
    "1": (2, 0, 1, 1),
    "2": (2, 1, 1, 1),
    "3": (2, 2, 1, 1),
    RECORD: (2, 3, 2, 1),
    "0": (3, 0, 1, 2),
    POINT: (3, 2, 1, 1),
}


class ThicknessPage(HeadedPage):
    """The page on which paint is measured.

    Signals:
        key_pressed: a key was touched; carries it.
        zone_touched: a painted zone was touched; carries it.
        record_wanted: what is typed is to be recorded.
        take_back_wanted: the last reading of the zone does not count.
        file_wanted: readings are to be taken from a file.
    """

    key_pressed = Signal(str)
    zone_touched = Signal(str)
    record_wanted = Signal()
    take_back_wanted = Signal()
    file_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: ThicknessView | None = None
        self.car = HeatCar(look, self)
        self.car.touched.connect(self.zone_touched)
        self.keys = {key: self._key(key) for key in PLACES}
        self.keys[RECORD].clicked.connect(self.record_wanted)
        self.keys[TAKE_BACK].clicked.connect(self.take_back_wanted)
        self.file_button = GloveButton(look, self)
        self.file_button.clicked.connect(self.file_wanted)

    def _key(self, key: str) -> GloveButton:
        button = GloveButton(self._look, self)
        if key in (RECORD, TAKE_BACK):
            return button
        if key == BACK:
            button.show_words(_("Erase"), title_mm=5.0)
        else:
            button.show_words(key, title_mm=10.5)
            button.patience = KEY_PATIENCE
        button.clicked.connect(lambda _=False: self.key_pressed.emit(key))
        return button

    def show_thickness(self, drawing: FormDrawing | None, view: ThicknessView) -> None:
        """Show what was measured, and what is typed."""
        self._view = view
        self.show_title(_("Paint thickness"), view.subtitle)
        self.car.show_heat(drawing, view)
        self.file_button.show_words(_("From a file"), _("CSV: zone, um"), glyph="paper", title_mm=4.6)
        ready = bool(view.typed) and not view.trouble
        style = Style.FILLED if ready else Style.OUTLINED
        record = self.keys[RECORD]
        record.show_words(_("Record"), style=style, badge=Urgency.OPEN if ready else None, title_mm=6.0)
        self.keys[TAKE_BACK].show_words(_("Take back"), view.take_back, title_mm=4.6)
        self.keys[TAKE_BACK].setEnabled(bool(view.take_back))
        self.update()

    def lay_out(self) -> None:
        super().lay_out()
        mm, gap = self._look.mm, self._look.mm(GAP)
        body = self._body()
        keypad = QRectF(body.right() - mm(KEYPAD_MM), body.top(), mm(KEYPAD_MM), body.height())
        left = QRectF(body.left(), body.top(), keypad.left() - gap - body.left(), body.height())
        words = self._words_box()
        place(self.car, QRectF(left.left(), left.top(), left.width(), words.top() - gap / 2 - left.top()))
        button = QRectF(words.right() - mm(FILE_MM), words.top(), mm(FILE_MM), words.height())
        place(self.file_button, button)
        self._place_keys(keypad.adjusted(0, mm(FIELD_MM) + gap, 0, 0))

    def _place_keys(self, box: QRectF) -> None:
        gap = self._look.mm(GAP)
        wide, tall = (box.width() - gap * (COLUMNS - 1)) / COLUMNS, (box.height() - gap * (ROWS - 1)) / ROWS
        for key, (row, column, rows, columns) in PLACES.items():
            at = COLUMNS - columns - column if right_to_left() else column  # digits stand as on every keypad
            width, height = wide * columns + gap * (columns - 1), tall * rows + gap * (rows - 1)
            place(self.keys[key], QRectF(box.left() + at * (wide + gap), box.top() + row * (tall + gap), width, height))

    def _body(self) -> QRectF:
        mm = self._look.mm
        return QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))

    def _words_box(self) -> QRectF:
        """Return the place of what is said of the chosen zone, and of the button beside it."""
        mm, body = self._look.mm, self._body()
        return QRectF(body.left(), body.bottom() - mm(WORDS_MM), body.width() - mm(KEYPAD_MM + GAP), mm(WORDS_MM))

    def paint_body(self, painter: QPainter) -> None:
        if self._view is None:
            return
        self._paint_field(painter, self._view)
        self._paint_words(painter, self._view)

    def _paint_field(self, painter: QPainter, view: ThicknessView) -> None:
        """Paint the chosen zone and what is typed for it."""
        mm, palette, body = self._look.mm, self._look.palette, self._body()
        box = QRectF(body.right() - mm(KEYPAD_MM), body.top(), mm(KEYPAD_MM), mm(FIELD_MM))
        unit = QRectF(box.right() - mm(13), box.top(), mm(13), box.height())
        value = QRectF(unit.left() - mm(46), box.top(), mm(44), box.height())
        name = QRectF(box.left(), box.top(), value.left() - box.left() - mm(2), box.height())
        if view.trouble:
            lower = name.adjusted(0, name.height() * 0.52, 0, 0)
            name = name.adjusted(0, 0, 0, -name.height() * 0.48)
            paint_words(painter, lower, view.trouble, mm(4.2), palette.text, bold=False)
        paint_words(painter, name, view.zone, mm(6.5), palette.text)
        paint_words(painter, unit, "µm", mm(6), palette.text_quiet, align=Qt.AlignmentFlag.AlignRight)
        if view.typed:
            paint_digits(painter, value, view.typed, fit_digits(view.typed, value.width(), mm, 14, 6), palette.text)

    def _paint_words(self, painter: QPainter, view: ThicknessView) -> None:
        """Paint the readings of the chosen zone, what they come to, and what they say."""
        mm, palette = self._look.mm, self._look.palette
        box = self._words_box().adjusted(0, 0, -mm(FILE_MM + GAP), 0)
        if not view.figures:
            hint = _("The zone stays chosen: measure several times, then touch the next. A gauge may type by itself.")
            paint_words(painter, box, hint, mm(4.6), palette.text_quiet, bold=False)
            return
        third = box.height() / 3
        rows = [box.adjusted(0, n * third, 0, -(2 - n) * third) for n in range(3)]
        if not view.says:
            rows[0] = rows[0].adjusted(0, 0, 0, third / 2)
            rows[1] = rows[1].adjusted(0, third / 2, 0, third / 2)
        paint_words(painter, rows[0], view.figures, mm(5.0), palette.text)
        paint_words(painter, rows[1], view.readings, mm(4.6), palette.text_quiet, bold=False)
        paint_words(painter, rows[2], view.says, mm(4.6), palette.text)
