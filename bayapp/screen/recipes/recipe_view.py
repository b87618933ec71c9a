"""A recipe's ladder on the left, and on the right a big button for each field that can be changed."""

from math import ceil

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import Urgency
from bayapp.pages.recipes.recipe_view import RecipeView
from bayapp.screen.recipes.recipe_rungs import LadderSketch
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.screen.widgets.typeset import paint_words
from bayapp.text.language import _

COLUMNS, ROWS = 3, 3
BUTTON = 25.6
TALLEST = 47.0
LADDER_SHARE = 0.47


class RecipePage(HeadedPage):
    """The ladder and the buttons that change it.

    Signals:
        field_touched: a button was touched; carries its key.
        rung_touched: a rung was touched; carries its index.
        side_wanted, main_wanted: the buttons below.
    """

    field_touched = Signal(str)
    rung_touched = Signal(int)
    side_wanted = Signal()
    main_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view: RecipeView | None = None
        self._first = 0
        self.sketch = LadderSketch(look, self)
        self.sketch.rung_touched.connect(self.rung_touched)
        self.fields: list[GloveButton] = []
        for number in range(COLUMNS * ROWS):
            button = GloveButton(look, self)
            button.clicked.connect(lambda _=False, n=number: self._touched(n))
            self.fields.append(button)
        self.side, self.main = GloveButton(look, self), GloveButton(look, self)
        self.side.clicked.connect(self.side_wanted)
        self.main.clicked.connect(self.main_wanted)

    @property
    def view(self) -> RecipeView | None:
        """The view that is shown."""
        return self._view

    def show_recipe(self, view: RecipeView, *, first: bool = False) -> None:
        """Show a recipe; ``first``: go back to the first of its buttons."""
        if first or self._first >= len(view.fields):
            self._first = 0
        self._view = view
        self.show_title(view.title, view.subtitle)
        self.sketch.show_ladder(view.ladder, view.chosen)
        room = self._room(view)
        for n, button in enumerate(self.fields):
            number = self._first + n
            turning = n == room
            button.setVisible(turning or (n < room and number < len(view.fields)))
            if turning:
                button.show_words(_("More"), glyph="more", title_mm=5.0)
            elif button.isVisibleTo(self):
                field = view.fields[number]
                style = Style.CHOSEN if field.chosen else Style.OUTLINED
                button.show_words(field.title, field.detail, style=style, title_mm=5.0)
        self.side.setVisible(bool(view.side))
        self.side.show_words(view.side, title_mm=5.4)
        if view.trouble:
            self.main.show_words(view.main, view.trouble, style=Style.REFUSED, title_mm=6.5)
        else:
            self.main.show_words(view.main, view.note, style=Style.FILLED, badge=Urgency.OPEN, title_mm=6.5)
        self.lay_out()

    def button_of(self, key: str) -> GloveButton | None:
        """Return the button of a field; None while it is among the buttons that the last one leads on to."""
        if self._view is None:
            return None
        fields, buttons = self._view.fields[self._first :], self.fields[: self._room(self._view)]
        return next((button for button, field in zip(buttons, fields, strict=False) if field.key == key), None)

    def _room(self, view: RecipeView) -> int:
        """Return how many fields fit on the page; if not all do, the last button leads on to the others."""
        return len(self.fields) - 1 if len(view.fields) > len(self.fields) else len(self.fields)

    def _touched(self, number: int) -> None:
        if self._view is None:
            return
        room = self._room(self._view)
        if number == room:
            self._first = self._first + room if self._first + room < len(self._view.fields) else 0
            self.show_recipe(self._view)
            return
        self.field_touched.emit(self._view.fields[self._first + number].key)

    def paint_body(self, painter: QPainter) -> None:
        """Write the notes under the buttons."""
        if self._view is None or not self._view.notes:
            return
        mm, palette, shown = self._look.mm, self._look.palette, [b for b in self.fields if b.isVisibleTo(self)]
        box, left, tall, _wide = self._parts()
        top = box.top() + (tall + mm(GAP)) * ceil(len(shown) / COLUMNS) + mm(1)
        bottom = box.top() + ROWS * (tall + mm(GAP)) - mm(2)
        y, right = top, box.right()
        for n, note in enumerate(self._view.notes):
            row = QRectF(left, y, right - left, min(mm(19), bottom - y))
            if row.height() < mm(9):
                return
            ink = palette.text if n < self._view.loud else palette.text_quiet
            y += paint_words(painter, row, note, mm(4.6), ink, bold=n < self._view.loud, lines=2, top=True) + mm(5)

    def lay_out(self) -> None:
        super().lay_out()
        gap = self._look.mm(GAP)
        box, left, tall, wide = self._parts()
        place(self.sketch, QRectF(box.left(), box.top(), left - gap - box.left(), box.height()))
        for n, button in enumerate(self.fields):
            row, column = divmod(n, COLUMNS)
            place(button, QRectF(left + column * (wide + gap), box.top() + row * (tall + gap), wide, tall))
        y = box.top() + ROWS * (tall + gap)
        place(self.side, QRectF(left, y, wide, tall))
        start = left + (wide + gap if self.side.isVisibleTo(self) else 0)
        place(self.main, QRectF(start, y, box.right() - start, tall))

    def _parts(self) -> tuple[QRectF, float, float, float]:
        """Return the area under the head, and where the buttons begin, their height and their width, in pixels."""
        mm, gap = self._look.mm, self._look.mm(GAP)
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE))
        left = box.left() + box.width() * LADDER_SHARE + gap
        tall = min(mm(TALLEST), (box.height() - gap * ROWS) / (ROWS + 1))
        wide = (box.right() - left - gap * (COLUMNS - 1)) / COLUMNS
        return box, left, tall, wide
