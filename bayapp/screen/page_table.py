"""Which page is opened by whom: one table, filled once, typed at its edge."""

from collections.abc import Callable
from typing import Any, TypeVar

from bayapp.pages.wanted import Page, Wanted

W = TypeVar("W", bound=Wanted)


class PageTable:
    """Opens what is wanted: a page by its name, or by the kind of what goes with it."""

    def __init__(self) -> None:
        self._by_name: dict[Page, Callable[[], None]] = {}
        self._by_kind: dict[type, Callable[[Any], None]] = {}  # ``on`` has seen to it that the two fit

    def __contains__(self, page: Page) -> bool:
        return page in self._by_name

    def add(self, page: Page, opener: Callable[[], None]) -> None:
        """Register the opener of a page that needs no more than its name."""
        self._by_name[page] = opener

    def on(self, kind: type[W], opener: Callable[[W], None]) -> None:
        """Register the opener for requests of this type."""
        self._by_kind[kind] = opener

    def open(self, wanted: Wanted) -> None:
        """Open it.

        Raises:
            KeyError: nobody opens such a page.
        """
        if isinstance(wanted, Page):
            self._by_name[wanted]()
        else:
            self._by_kind[type(wanted)](wanted)
