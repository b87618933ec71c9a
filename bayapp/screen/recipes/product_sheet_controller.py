"""Enters a product's data sheet field by field and builds the steps from it. Joins its page and the keypad."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QObject

from bayapp.job.model.ids import Motion
from bayapp.job.model.vehicle import Surface
from bayapp.job.text.naming import capital, motion_words
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.recipes.product_sheet import MOST_LAYERS, SURFACES, Row, Sheet
from bayapp.pages.recipes.product_sheet_view import (
    PAIRS,
    SWITCHES,
    against,
    answered,
    question,
    row_text,
    sheet_view,
    switched,
    wait_titles,
)
from bayapp.pages.recipes.recipe_edit import surface_words
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.input.wait_rows_entry import RowsAsker
from bayapp.screen.recipes.recipe_view import RecipePage
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _, ngettext


class ProductSheetController(QObject):
    """Enters one product data sheet.

    Attributes:
        page: the answers, and the ladder that follows from them.
    """

    def __init__(
        self, pages: PageStack, show: Show, typing: TypedEntryController, titles: Callable[[], list[str]]
    ) -> None:
        super().__init__(pages)
        self._pages, self._show, self._typing, self._titles = pages, show, typing, titles
        self.sheet = Sheet()
        self._built: Callable[[Sheet], None] = lambda sheet: None
        self.rows = RowsAsker(show, typing)
        self.page = RecipePage(pages.look, pages.window)
        self.page.field_touched.connect(self._field)
        self.page.main_wanted.connect(self._build)
        self._pages.add(self.page)

    def open(self, built: Callable[[Sheet], None]) -> None:
        """Begin with the last draft, so that pressing Back by accident loses nothing."""
        self._built = built
        self._turn_to(first=True)

    def type_on(self, sheet: Sheet) -> None:
        """Make this the current draft."""
        self.sheet = sheet

    def _turn_to(self, sheet: Sheet | None = None, *, first: bool = False) -> None:
        self.sheet = sheet or self.sheet
        self.page.show_recipe(sheet_view(self.sheet, self._titles()), first=first)
        self._pages.show(self.page)

    def _build(self) -> None:
        if self.sheet.trouble():
            return
        sheet, self.sheet = self.sheet, Sheet()
        self._built(sheet)

    def _field(self, key: str) -> None:
        if key in SWITCHES:
            self._turn_to(switched(self.sheet, key))
        elif key == "surface":
            entries = [
                Entry(name, capital(surface_words()[name]), chosen=self.sheet.surface == name) for name in SURFACES
            ]
            show_paged(_("What is the product for?"), "", entries, self._surface, self._show)
        elif key == "layers":
            counts = [ngettext("{n} layer", "{n} layers", n).format(n=n) for n in range(1, MOST_LAYERS + 1)]
            layers = [Entry(n, words, chosen=n == self.sheet.layers) for n, words in enumerate(counts, 1)]
            show_paged(_("How many layers?"), "", layers, self._layers, self._show)
        elif key == "motions":
            self._ask_motion(0)
        elif key == "rows":
            self._ask_rows()
        else:
            self._ask_number(key)

    def _surface(self, surface: Surface) -> None:
        self._turn_to(replace(self.sheet, surface=surface))

    def _layers(self, layers: int) -> None:
        self._turn_to(replace(self.sheet, layers=layers))

    def _ask_motion(self, layer: int) -> None:
        """Ask for the strokes of each layer in turn."""
        if layer >= self.sheet.layers:
            self._turn_to()
            return
        title = _("Layer {n} of {all}: by which strokes?").format(n=layer + 1, all=self.sheet.layers)
        entries = [Entry(motion, capital(motion_words(motion))) for motion in Motion]

        def chosen(motion: Motion) -> None:
            motions = (*self.sheet.motions[:layer], motion, *self.sheet.motions[layer + 1 :])
            self.sheet = replace(self.sheet, motions=motions)
            self._ask_motion(layer + 1)

        self._show(title, "", entries, chosen, ())

    def _ask_number(self, key: str, end: int = 0) -> None:
        sheet, asked = self.sheet, question(self.sheet, key, end)
        typing = Typing(
            Kind.NUMBER,
            asked.title,
            _("As the sheet says it; with nothing in the field the sheet does not say."),
            unit=asked.unit,
            check=lambda number: against(sheet, key, number, end),
            may_be_empty=True,
        ).opened_with(asked.now)

        def taken(typed: Typing) -> None:
            self.sheet = answered(sheet, key, typed.number, end)
            go_on()

        def go_on() -> None:
            if key in PAIRS and end == 0:
                self._ask_number(key, 1)
            else:
                self._turn_to()

        self._typing.ask(typing, taken, self._turn_to, go_on)

    def _ask_rows(self) -> None:
        entries = [
            Entry(wait, words, "; ".join(row_text(row) for row in self.sheet.rows.get(wait, ())))
            for wait, words in wait_titles().items()
            if wait != "recoat" or self.sheet.layers > 1
        ]
        self._show(_("For which wait are there rows?"), "", entries, self._show_rows, ())

    def _show_rows(self, wait: str) -> None:
        def done(rows: tuple[Row, ...]) -> None:
            self._turn_to(self.sheet.with_rows(wait, rows))

        self.rows.open(wait_titles()[wait], self.sheet.rows.get(wait, ()), done, ends=True)
