"""Lets a value be typed, with gloves or on a keyboard at the wall, and returns it."""

from collections.abc import Callable, Hashable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from bayapp.pages.input.typed_entry import ERASE, Kind, Typing
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry import TypingPage

Take = Callable[[Typing], None]


class TypedEntryController(QObject):
    """Shows the page to type on, one thing at a time."""

    def __init__(self, pages: PageStack) -> None:
        super().__init__(pages)
        self._pages = pages
        self._typing = Typing(Kind.ML, "")
        self._take: Take = lambda typing: None
        self._leave: Callable[[], None] = lambda: None
        self._unchanged: Callable[[], None] | None = None
        self._about: Hashable = None
        self._unfinished: dict[Hashable, Typing] = {}
        self.page = TypingPage(pages.look, pages.window)
        self.page.key_pressed.connect(self.press)
        self.page.record_wanted.connect(self._record)
        self._pages.add(self.page)
        self.page.closed.connect(self._left)
        pages.window.installEventFilter(self)

    def ask(
        self,
        typing: Typing,
        take: Take,
        leave: Callable[[], None] = lambda: None,
        unchanged: Callable[[], None] | None = None,
        about: Hashable = None,
    ) -> None:
        """Ask for a value; what was typed of it ``about`` the same thing and never recorded stands there again.

        ``take`` gets what was typed once it is acceptable, ``leave`` is called on the way back, and ``unchanged`` in
        place of ``take`` where the old value is recorded as it was.
        """
        self._take, self._leave, self._unchanged, self._about = take, leave, unchanged, about
        self._show(self._unfinished.get(about, typing) if about is not None else typing)
        self._pages.show(self.page)

    def press(self, key: str) -> None:
        """Handle a touch on a key."""
        self._show(self._typing.press(key))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what is typed on a keyboard at the wall for this page, so that it begins no step."""
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress or not self.page.isVisible():
            return False
        if event.key() == Qt.Key.Key_Escape:
            return False
        if event.key() == Qt.Key.Key_Backspace:
            self.press(ERASE)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._record()
        elif event.text().isprintable() and (event.text().strip() or self._typing.kind in (Kind.NOTE, Kind.PLATE)):
            self.press(_meant(self._typing.kind, event.text()))
        return True

    def _show(self, typing: Typing) -> None:
        self._typing = typing
        if self._about is not None:
            self._unfinished[self._about] = typing
        self.page.show_typing(typing.view())

    def _left(self) -> None:
        self._leave()

    def _record(self) -> None:
        if self._typing.untouched and self._unchanged:
            self._unchanged()
        elif not self._typing.trouble():
            self._unfinished.pop(self._about, None)
            self._take(self._typing)


def _meant(kind: Kind, text: str) -> str:
    """Return the key of the page for a keyboard's character."""
    if kind in (Kind.NAME, Kind.NOTE):
        return text
    return text.upper() if kind in (Kind.BATCH, Kind.PLATE) else text.replace(",", ".")
