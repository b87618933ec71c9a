"""The shelf as big buttons: every bottle, page by page, a new one, and those that have left."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtWidgets import QWidget

from bayapp.pages.shelf.shelf import ShelfView
from bayapp.screen.shelf.bottle_button import BottleButton
from bayapp.screen.widgets.entry_page import EDGE, GAP, HeadedPage
from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.page_head import HEAD
from bayapp.text.language import _

TALL = 27.0
TALLEST = 33.0
FOOT = 25.5
COLUMNS = 2


class ShelfPage(HeadedPage):
    """The shelf.

    Signals:
        bottle_chosen: a bottle was touched; carries its id.
        new_wanted: a bottle is to be added without a scanner.
        gone_wanted: the bottles that have left the shelf are to be shown.
    """

    bottle_chosen = Signal(str)
    new_wanted = Signal()
    gone_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._view = ShelfView("", "", ())
        self._first = 0
        self.bottles: list[BottleButton] = []
        self.new_button, self.gone_button = GloveButton(look, self), GloveButton(look, self)
        self.more_button = GloveButton(look, self)
        self.new_button.show_words(_("New bottle"), _("or scan its label"), title_mm=5.6)
        self.gone_button.show_words(_("Left the shelf"), _("empty, thrown away"), title_mm=5.0)
        self.new_button.clicked.connect(self.new_wanted)
        self.gone_button.clicked.connect(self.gone_wanted)
        self.more_button.clicked.connect(self._turn)

    def show_shelf(self, view: ShelfView) -> None:
        """Show the shelf as it is now."""
        self._view = view
        self.show_title(view.title, view.subtitle)
        self.lay_out()

    def _fit(self) -> int:
        """Return how many rows of bottles fit."""
        mm = self._look.measure.px_per_mm
        room = self.height() / mm - HEAD - FOOT - 2 * GAP - EDGE
        return max(1, int((room + GAP) // (TALL + GAP)))

    def _turn(self) -> None:
        self._first += self._fit() * COLUMNS
        if self._first >= len(self._view.rows):
            self._first = 0
        self.lay_out()

    def lay_out(self) -> None:
        super().lay_out()
        mm, rows = self._look.mm, self._fit()
        if self._first >= len(self._view.rows):
            self._first = 0
        shown = self._view.rows[self._first : self._first + rows * COLUMNS]
        while len(self.bottles) < len(shown):
            button = BottleButton(self._look, self)
            button.clicked.connect(lambda _=False, b=button: self.bottle_chosen.emit(b.row.bottle if b.row else ""))
            self.bottles.append(button)
        box = QRectF(self.rect()).adjusted(mm(EDGE), mm(HEAD + GAP), -mm(EDGE), -mm(EDGE + FOOT + GAP))
        tall = min(mm(TALLEST), (box.height() - mm(GAP) * (rows - 1)) / rows)
        wide = (box.width() - mm(GAP) * (COLUMNS - 1)) / COLUMNS
        for n, button in enumerate(self.bottles):
            if n < len(shown):
                row, column = divmod(n, COLUMNS)
                spot = QRectF(box.left() + column * (wide + mm(GAP)), box.top() + row * (tall + mm(GAP)), wide, tall)
                place(button, spot)
                button.show_row(shown[n])
            button.setVisible(n < len(shown))
        self._lay_out_foot(len(shown))

    def _lay_out_foot(self, shown: int) -> None:
        mm, whole = self._look.mm, QRectF(self.rect())
        rest = len(self._view.rows) - shown
        self.more_button.setVisible(rest > 0)
        first, last = self._first + 1, self._first + shown
        range_text = _("{first} to {last} of {all}").format(first=first, last=last, all=len(self._view.rows))
        self.more_button.show_words(_("More bottles"), range_text, title_mm=5.0)
        buttons = [self.new_button, self.gone_button, *([self.more_button] if rest > 0 else [])]
        wide = (whole.width() - mm(2 * EDGE) - mm(GAP) * (len(buttons) - 1)) / len(buttons)
        for n, button in enumerate(buttons):
            left = mm(EDGE) + n * (wide + mm(GAP))
            place(button, QRectF(left, whole.height() - mm(EDGE + FOOT), wide, mm(FOOT)))
