"""From a touch to the door and back: what is accepted is on disk before it is shown, what is refused is said."""

from PySide6.QtCore import QObject, Signal

from bayapp.bay import Bay
from bayapp.job import Request, Verdict
from bayapp.pages.wanted import Refused
from bayapp.screen.board.page_stack import PageStack


class Asking(QObject):
    """Passes requests to the door.

    Attributes:
        bay: the door.

    Signals:
        accepted: a request was accepted and is on disk; carries the Verdict.
        answered: the door has answered: what is painted is to be brought in line.
    """

    accepted = Signal(object)
    answered = Signal()

    def __init__(self, bay: Bay, pages: PageStack) -> None:
        super().__init__(pages)
        self.bay, self._pages = bay, pages

    def ask(self, request: Request) -> Verdict:
        """Pass a request to the door; when it is accepted it is on disk, and only then is it shown."""
        verdict = self.bay.request(request)
        if verdict.accepted:
            self.accepted.emit(verdict)
        self.answered.emit()
        return verdict

    def ask_or_say(self, request: Request) -> bool:
        """Pass a request to the door; where it is refused, say why on a page of its own."""
        verdict = self.ask(request)
        if verdict.refusal:
            self._pages.want(Refused(verdict.refusal))
        return verdict.accepted
