"""Asks for the rows of temperature of one wait, number by number. Joins keypad and choice page; knows no rule."""

from collections.abc import Callable, Hashable, Iterable

from bayapp.job.figures import temperature_unit, typed_temperature
from bayapp.job.language import _
from bayapp.pages.sheet import Row
from bayapp.pages.sheet_view import row_text
from bayapp.pages.typed import Kind, Typing
from bayapp.screen.choice_page import Entry, Show
from bayapp.screen.typing_desk import TypingDesk

Done = Callable[[tuple[Row, ...]], None]


class RowsAsker:
    """Lets rows be added and taken out; what is done with them is for whoever asks."""

    def __init__(self, show: Show, typing: TypingDesk) -> None:
        self._show, self._typing = show, typing
        self._title, self._rows, self._ends = "", tuple[Row, ...](), True
        self._done: Done = lambda rows: None

    def open(self, title: str, rows: Iterable[Row], done: Done, *, ends: bool) -> None:
        """Ask for the rows of a wait; ``ends``: each may have a latest moment too."""
        self._title, self._rows, self._done, self._ends = title, tuple(rows), done, ends
        self._list()

    def _list(self) -> None:
        """Show the rows: a touch takes one out, another is added."""
        entries = [Entry(f"row {n}", row_text(row), _("touch to take it out")) for n, row in enumerate(self._rows)]
        entries += [Entry("add", _("Add a row"), glyph="more"), Entry("done", _("Done"), glyph="back")]
        self._show(self._title, _("At least two rows; between them the line counts."), entries, self._chosen, ())

    def _chosen(self, key: Hashable) -> None:
        if key == "done":
            self._done(self._rows)
        elif key == "add":
            self._ask([])
        else:
            gone = int(str(key).removeprefix("row "))
            self._rows = tuple(row for n, row in enumerate(self._rows) if n != gone)
            self._list()

    def _ask(self, told: list[float]) -> None:
        """Ask for °C, then from when, then until when."""
        asked = (
            (_("At what temperature?"), temperature_unit()),
            (_("From when, at this temperature?"), _("min")),
            (_("Until when, at this temperature?"), _("min")),
        )[len(told)]

        def against(number: float | None) -> str:
            if len(told) == 2 and number is not None and number < told[1]:
                return _("That lies before its earliest moment: none would be right.")
            if not told and number is not None and typed_temperature(number) in [row.at_c for row in self._rows]:
                return _("There is a row for this temperature already: take that one out first.")
            return ""

        def taken(typed: Typing) -> None:
            number = typed.number
            last = len(told) == 2 or (len(told) == 1 and not self._ends)
            if not last and number is not None:
                self._ask([*told, number if told else typed_temperature(number)])
                return
            row = Row(told[0], told[1], number) if len(told) == 2 else Row(told[0], number or 0.0)
            self._rows = tuple(sorted((*self._rows, row), key=lambda row: row.at_c))
            self._list()

        typing = Typing(Kind.NUMBER, asked[0], self._title, unit=asked[1], check=against, may_be_empty=len(told) == 2)
        self._typing.ask(typing, taken, self._list)
