"""Asks a question on the choice page, and passes the answer on."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QObject

from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry, Key, tell


class Choices(QObject):
    """Shows the choice page, and gives the answer to whoever asked last."""

    def __init__(self, pages: PageStack) -> None:
        super().__init__(pages)
        self._pages = pages
        self._answer: Callable[[Any], None] = lambda key: None  # whatever kind of key is offered now
        pages.choices.chosen.connect(self._chosen)

    def show(
        self,
        title: str,
        subtitle: str,
        entries: Sequence[Entry[Key]],
        answer: Callable[[Key], None],
        sentences: tuple[str, ...] = (),
        *,
        may_close: bool = True,
    ) -> None:
        """Offer these entries; ``answer`` gets the key of the touched one."""
        self._answer = answer
        self._pages.choices.show_choices(title, subtitle, entries, sentences, may_close)
        self._pages.show_choices(
            lambda: self.show(title, subtitle, entries, answer, sentences, may_close=may_close), told=not entries
        )

    def tell(self, title: str, subtitle: str, *sentences: str) -> None:
        """Show sentences to read, with only the way back."""
        tell(self.show, title, subtitle, *sentences)

    def _chosen(self, key: object) -> None:
        self._answer(key)
