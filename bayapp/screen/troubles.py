"""Says trouble with the store on the wall, where a person can act on it."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import TracebackType

from bayapp.pages.wanted import StoreTrouble
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender


class Troubles:
    """Handles what Qt's slots raise: a store problem is shown on the wall, a bug is raised further.

    A lost touch is shown each time; what fails by itself every few seconds, only once until a touch succeeds.
    """

    def __init__(self, sender: RequestSender, pages: PageStack) -> None:
        self._pages, self._watch = pages, sender.bay.store_watch
        self._last_shown = ""
        self._usual = sys.excepthook
        sender.accepted.connect(lambda _: self._forget())

    def take(self, kind: type[BaseException], trouble: BaseException, trace: TracebackType | None) -> None:
        """Tell a problem with the store; pass on everything else."""
        if not isinstance(trouble, StoreProblem):
            self._usual(kind, trouble, trace)
        elif not isinstance(trouble, BackgroundWriteFailed) or str(trouble) not in self._told():
            self._last_shown = str(trouble)
            self._pages.want(StoreTrouble(trouble))

    def _told(self) -> tuple[str, str]:
        """Return what was shown here last, and what the watch over the store has shown."""
        return self._last_shown, str(self._watch.trouble)

    def _forget(self) -> None:
        self._last_shown = ""


@contextmanager
def shown_on(sender: RequestSender, pages: PageStack) -> Iterator[None]:
    """While the window is open, tell problems with the store on a page of it."""
    usual = sys.excepthook
    sys.excepthook = Troubles(sender, pages).take
    try:
        yield
    finally:
        sys.excepthook = usual
