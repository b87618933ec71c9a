"""Offers more choices than a page has room for: so many at a time, and the way to the rest."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bayapp.screen.widgets.choice_page import Entry, Key, Show
from bayapp.text.language import _

MOST = 8


@dataclass(frozen=True, slots=True)
class Rest:
    """The key of the way to the rest: the choices from this one on."""

    first: int


def show_paged(
    title: str,
    subtitle: str,
    entries: Sequence[Entry[Key]],
    answer: Callable[[Key], None],
    show: Show,
    first: int = 0,
    most: int = MOST,
) -> None:
    """Offer as many entries as a glove can tell apart, and the way to the rest where there are more."""

    def answered(key: Key | Rest) -> None:
        if isinstance(key, Rest):
            show_paged(title, subtitle, entries, answer, show, key.first, most)
        else:
            answer(key)

    show(title, subtitle, page_of(entries, first, most, _("More")), answered, ())


def page_of(entries: Sequence[Entry[Key]], first: int, most: int, more: str) -> list[Entry[Key | Rest]]:
    """Return the entries from ``first`` on that one page holds, and after them the way to the rest, called ``more``."""
    shown: list[Entry[Key | Rest]] = [*entries[first : first + most]]
    if len(entries) > most:
        after = first + len(shown)
        left = len(entries) - after
        count = _("{n} more").format(n=left) if left > 0 else _("back to the first")
        rest = Rest(after if left > 0 else 0)
        shown.append(Entry(rest, more, count, glyph="more", heading=shown[-1].heading))
    return shown
