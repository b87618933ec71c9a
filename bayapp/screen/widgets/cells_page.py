"""A page of settings: each a button, or a value between - and +."""

from collections.abc import Sequence
from math import ceil

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter

from bayapp.pages.settings.cells import Cell
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import KEY_PATIENCE, GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

COLUMNS = 3
TALLEST = 46.0
STEP = 25.5


class CellsPage(HeadedPage):
    """Settings in a grid.

    Signals:
        touched: the button of a setting was touched; carries its key.
        moved: a - or + was touched; carries the key and -1 or 1.
    """

    touched = Signal(object)
    moved = Signal(object, int)

    def __init__(self, look: Look, parent: object = None) -> None:
        super().__init__(look, parent)  # type: ignore[arg-type]
        self.cells: tuple[Cell[object], ...] = ()
        self.buttons: dict[tuple[object, int], GloveButton] = {}

    def show_cells(self, title: str, subtitle: str, cells: Sequence[Cell[object]]) -> None:
        """Show these settings."""
        self.cells = tuple(cells)
        self.show_title(title, subtitle)
        shown = {button for cell in cells for button in _buttons(cell)}
        for known, button in self.buttons.items():
            button.setVisible(known in shown)
        for cell in cells:
            for key, way in _buttons(cell):
                self._show_button(cell, key, way)
        self.lay_out()
        self.update()

    def _show_button(self, cell: Cell[object], key: object, way: int) -> None:
        button = self.buttons.get((key, way)) or self._made(key, way)
        if way:
            button.show_words("−" if way < 0 else "+", title_mm=10.5)
            less, more = _("{what}: less").format(what=cell.title), _("{what}: more").format(what=cell.title)
            button.setAccessibleName(less if way < 0 else more)
            button.patience = KEY_PATIENCE
        else:
            style = Style.CHOSEN if cell.chosen else Style.OUTLINED
            button.show_words(cell.title, cell.value, style=style, glyph=cell.glyph, title_mm=6.8)
        button.show()

    def _made(self, key: object, way: int) -> GloveButton:
        button = self.buttons[key, way] = GloveButton(self._look, self)
        if way:
            button.clicked.connect(lambda _=False: self.moved.emit(key, way))
        else:
            button.clicked.connect(lambda _=False: self.touched.emit(key))
        return button

    def _boxes(self) -> list[QRectF]:
        mm, count = self._look.mm, len(self.cells)
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        rows = ceil(count / COLUMNS) or 1
        tall = min(mm(TALLEST), (box.height() - mm(GAP) * (rows - 1)) / rows)
        wide = (box.width() - mm(GAP) * (COLUMNS - 1)) / COLUMNS
        return [
            QRectF(box.left() + n % COLUMNS * (wide + mm(GAP)), box.top() + n // COLUMNS * (tall + mm(GAP)), wide, tall)
            for n in range(count)
        ]

    def lay_out(self) -> None:
        super().lay_out()
        step = self._look.mm(STEP)
        for cell, box in zip(self.cells, self._boxes(), strict=True):
            for key, way in _buttons(cell):
                left = box.right() - step if way > 0 else box.left()
                place(self.buttons[key, way], QRectF(left, box.top(), step, box.height()) if way else box)

    def paint_body(self, painter: QPainter) -> None:
        mm, palette, centre = self._look.mm, self._look.palette, Qt.AlignmentFlag.AlignHCenter
        for cell, box in zip(self.cells, self._boxes(), strict=True):
            if not cell.steps:
                continue
            middle = box.adjusted(mm(STEP + 1.5), mm(2), -mm(STEP + 1.5), -mm(2))
            upper = QRectF(middle.left(), middle.top(), middle.width(), middle.height() * 0.56)
            lower = QRectF(middle.left(), upper.bottom(), middle.width(), middle.height() - upper.height())
            paint_words(painter, upper, cell.value, mm(8.6), palette.text, align=centre)
            paint_words(painter, lower, cell.title, mm(5.4), palette.text_quiet, bold=False, lines=2, align=centre)


def _buttons(cell: Cell[object]) -> tuple[tuple[object, int], ...]:
    """Return the buttons of a setting: its key, and which way each moves the value."""
    if cell.key is None:
        return ()
    return ((cell.key, -1), (cell.key, 1)) if cell.steps else ((cell.key, 0),)
