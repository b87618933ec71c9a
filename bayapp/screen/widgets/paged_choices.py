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


@dataclass(frozen=True, slots=True)
class Portion:
    """Which of the choices a page has: so many at most, from this one on."""

    first: int = 0
    most: int = MOST


FIRST_PORTION = Portion()


def show_paged(
    title: str,
    subtitle: str,
    entries: Sequence[Entry[Key]],
    answer: Callable[[Key], None],
    show: Show,
    portion: Portion = FIRST_PORTION,
) -> None:
    """Offer as many entries as a glove can tell apart, and the way to the rest where there are more."""

    def answered(key: Key | Rest) -> None:
        if isinstance(key, Rest):
            show_paged(title, subtitle, entries, answer, show, Portion(key.first, portion.most))
        else:
            answer(key)

    show(title, subtitle, page_of(entries, portion, _("More")), answered, ())


def page_of(entries: Sequence[Entry[Key]], portion: Portion, more: str) -> list[Entry[Key | Rest]]:
    """Return the entries that one page holds, and after them the way to the rest, called ``more``."""
    first, most = portion.first, portion.most
    shown: list[Entry[Key | Rest]] = [*entries[first : first + most]]
    if len(entries) > most:
        after = first + len(shown)
        left = len(entries) - after
        count = _("{n} more").format(n=left) if left > 0 else _("back to the first")
        rest = Rest(after if left > 0 else 0)
        shown.append(Entry(rest, more, count, glyph="more", heading=shown[-1].heading))
    return shown
