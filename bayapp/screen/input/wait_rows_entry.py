"""Asks for the rows of one wait by the air, number by number."""

from collections.abc import Callable, Iterable

from bayapp.job.model.wait_tables import By
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.recipes.product_sheet import Row
from bayapp.pages.recipes.product_sheet_view import row_text
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.figures import temperature_unit, typed_temperature
from bayapp.text.language import _

Done = Callable[[tuple[Row, ...]], None]


class RowsAsker:
    """Lets rows be added and removed; the caller decides what becomes of them."""

    def __init__(self, show: Show, typing: TypedEntryController) -> None:
        self._show, self._typing = show, typing
        self._title, self._rows, self._ends = "", tuple[Row, ...](), True
        self._done: Done = lambda rows: None

    def open(self, title: str, rows: Iterable[Row], done: Done, *, ends: bool) -> None:
        """Ask for the rows of a wait; ``ends``: each may have a latest moment too."""
        self._title, self._rows, self._done, self._ends = title, tuple(rows), done, ends
        self._list()

    def _list(self) -> None:
        """Show the rows: a touch removes one or adds another; the first one decides what all of them depend on."""
        entries: list[Entry[By | Row | None]]
        if self._rows:
            entries = [Entry(self._rows[0].by, _("Add a row"), glyph="more"), Entry(None, _("Done"), glyph="back")]
        else:
            entries = [
                Entry(By.TEMPERATURE, _("Add a row of temperature"), glyph="more"),
                Entry(By.HUMIDITY, _("Add a row of humidity"), glyph="more"),
                Entry(None, _("Done"), glyph="back"),
            ]
        # Last, so that none comes to lie where the finger was that just added one.
        entries += [Entry(row, row_text(row), _("touch to take it out")) for row in self._rows]
        self._show(self._title, _("At least two rows; between them the line counts."), entries, self._chosen, ())

    def _chosen(self, key: By | Row | None) -> None:
        if key is None:
            self._done(self._rows)
        elif isinstance(key, By):
            self._ask(key, [])
        else:
            self._rows = tuple(row for row in self._rows if row is not key)
            self._list()

    def _ask(self, by: By, numbers: list[float]) -> None:
        """Ask for °C or % humidity, then from when, then until when."""
        title, unit = _questions(by)[len(numbers)]

        def taken(typed: Typing) -> None:
            number = typed.number
            last = len(numbers) == 2 or (len(numbers) == 1 and not self._ends)
            if not last and number is not None:
                self._ask(by, [*numbers, number if numbers else _meant(by, number)])
                return
            row = (
                Row(numbers[0], numbers[1], number, by)
                if len(numbers) == 2
                else Row(numbers[0], number or 0.0, None, by)
            )
            self._rows = tuple(sorted((*self._rows, row), key=lambda row: row.at))
            self._list()

        typing = Typing(
            Kind.NUMBER,
            title,
            self._title,
            unit=unit,
            check=lambda number: self._against(by, numbers, number),
            may_be_empty=len(numbers) == 2,
        )
        self._typing.ask(typing, taken, self._list)

    def _against(self, by: By, numbers: list[float], number: float | None) -> str:
        """Return what is wrong with a number while it is typed, or empty."""
        if number is None:
            return ""
        if len(numbers) == 2:
            return _("That lies before its earliest moment: none would be right.") if number < numbers[1] else ""
        if not numbers and _meant(by, number) in [row.at for row in self._rows]:
            return {
                By.TEMPERATURE: _("There is a row for this temperature already: take that one out first."),
                By.HUMIDITY: _("There is a row for this humidity already: take that one out first."),
            }[by]
        if not numbers and by is By.HUMIDITY and not 0 < number <= 100:
            return _("Humidity is above 0 and at most 100 %.")
        return ""


def _meant(by: By, number: float) -> float:
    """Return °C or % humidity of what was typed in the shop's unit."""
    return typed_temperature(number) if by is By.TEMPERATURE else number


def _questions(by: By) -> tuple[tuple[str, str], ...]:
    """Return the questions for a row, one for each number, with its unit."""
    if by is By.HUMIDITY:
        return (
            (_("At what humidity?"), "%"),
            (_("From when, at this humidity?"), _("min")),
            (_("Until when, at this humidity?"), _("min")),
        )
    return (
        (_("At what temperature?"), temperature_unit()),
        (_("From when, at this temperature?"), _("min")),
        (_("Until when, at this temperature?"), _("min")),
    )
