"""Offers more choices than a page has room for: so many at a time, and the way to the rest."""

from collections.abc import Hashable

from bayapp.screen.widgets.choice_page import Answer, Entry, Show
from bayapp.text.language import _

MOST = 8


def show_paged(
    title: str, subtitle: str, entries: list[Entry], answer: Answer, show: Show, first: int = 0, most: int = MOST
) -> None:
    """Offer as many entries as a glove can tell apart, and the way to the rest where there are more.

    No entry may have an int as its key: that is the way to the rest.
    """
    shown = entries[first : first + most]

    def answered(key: Hashable) -> None:
        if isinstance(key, int):
            show_paged(title, subtitle, entries, answer, show, key, most)
        else:
            answer(key)

    if len(entries) > most:
        left = len(entries) - first - len(shown)
        told = _("{n} more").format(n=left) if left > 0 else _("back to the first")
        shown.append(Entry(first + len(shown) if left > 0 else 0, _("More"), told, glyph="more"))
    show(title, subtitle, shown, answered, ())
