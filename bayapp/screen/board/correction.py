"""The page to correct a time on: start and finish with buttons for minutes, "Record"."""

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.drawing.digits import paint_digits
from bayapp.pages.board.correction import EDGES, SHIFTS, CorrectionView, RunEdge, TimeRow
from bayapp.screen.widgets.entry_page import GAP, EntryPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.typeset import fit_digits, paint_words
from bayapp.text.language import _

ROWS = 3
TALLEST = 60.0
BUTTON_SHARE = 0.12
LEAST_BUTTON = 27.0


class CorrectionPage(EntryPage):
    """The page to correct a time on.

    Signals:
        shifted: a time is to move; carries the edge and the minutes.
    """

    shifted = Signal(str, int)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._rows: dict[RunEdge, TimeRow] = {}
        self.shifts: dict[tuple[RunEdge, int], GloveButton] = {}
        for edge in EDGES:
            for minutes in SHIFTS:
                self.shifts[edge, minutes] = self._shift(edge, minutes)

    def _shift(self, edge: RunEdge, minutes: int) -> GloveButton:
        button = GloveButton(self._look, self)
        sign = "+" if minutes > 0 else "−"
        button.show_words(f"{sign}{abs(minutes)}", _("min"), title_mm=9.0)
        button.patience = KEY_PATIENCE
        button.clicked.connect(lambda _=False: self.shifted.emit(edge, minutes))
        return button

    def show_correction(self, view: CorrectionView) -> None:
        """Show the times as they would become."""
        self.show_head(view.title, view.subtitle, view.trouble, view.note)
        self._rows = {row.edge: row for row in view.rows}
        for (edge, _minutes), button in self.shifts.items():
            button.setVisible(bool(self._rows[edge].digits))

    def lay_out(self) -> None:
        super().lay_out()
        rows = self.rows(ROWS, TALLEST)
        place(self.record_button, rows[-1])
        for edge, row in zip(EDGES, rows, strict=False):
            for n, minutes in enumerate(SHIFTS):
                wide, step = self._button_width(row), self._button_width(row) + self._look.mm(GAP)
                left = row.left() + n * step if minutes < 0 else row.right() - wide - (len(SHIFTS) - 1 - n) * step
                place(self.shifts[edge, minutes], QRectF(left, row.top(), wide, row.height()))

    def _button_width(self, row: QRectF) -> float:
        return max(self._look.mm(LEAST_BUTTON), row.width() * BUTTON_SHARE)

    def paint_body(self, painter: QPainter) -> None:
        for edge, row in zip(EDGES, self.rows(ROWS, TALLEST), strict=False):
            if edge in self._rows:
                taken = 2 * (self._button_width(row) + self._look.mm(GAP))
                self._paint_time(painter, row.adjusted(taken, 0, -taken, 0), self._rows[edge])

    def _paint_time(self, painter: QPainter, box: QRectF, row: TimeRow) -> None:
        mm, palette, middle = self._look.mm, self._look.palette, Qt.AlignmentFlag.AlignHCenter
        upper = QRectF(box.left(), box.top(), box.width(), box.height() * 0.24)
        lower = QRectF(box.left(), box.bottom() - upper.height(), box.width(), upper.height())
        paint_words(painter, upper, row.label, mm(5.2), palette.text, align=middle)
        paint_words(painter, lower, row.note, mm(4.4), palette.text_quiet, bold=False, align=middle)
        font = fit_digits(row.digits, box.width(), mm, tallest=22, least=8)
        digits = QRectF(box.left(), upper.bottom(), box.width(), lower.top() - upper.bottom())
        paint_digits(painter, digits, row.digits, font, palette.text, middle)
