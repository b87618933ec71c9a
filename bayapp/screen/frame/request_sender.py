"""Passes requests from a touch to the door: accepted ones are on disk before they are shown, refusals are shown."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from bayapp.bay import Bay
from bayapp.job import FinishStep, MoveCar, Request, Start, Verdict
from bayapp.job.verdict import one_a_rule
from bayapp.pages.wanted import AskFirst, Refused, Signed, WhoThen
from bayapp.screen.frame.page_stack import PageStack


class RequestSender(QObject):
    """Passes requests to the door.

    Attributes:
        bay: the door.

    Signals:
        accepted: a request was accepted and is on disk; carries the Verdict.
        answered: the door has answered; the display must be updated.
    """

    accepted = Signal(object)
    answered = Signal()

    def __init__(self, bay: Bay, pages: PageStack, is_said: Callable[[], bool] = lambda: True) -> None:
        """``is_said``: whether somebody has said today who stands at the car; until then a touch asks it first."""
        super().__init__(pages)
        self.bay, self._pages, self._is_said = bay, pages, is_said

    def send(self, request: Request) -> Verdict:
        """Pass a request to the door; an accepted one is on disk before it is shown."""
        verdict = self.bay.request(request)
        if verdict.accepted:
            self.accepted.emit(verdict)
        self.answered.emit()
        return verdict

    def send_or_show_refusal(self, request: Request) -> bool:
        """Pass a request to the door; show a refusal, or what is asked first, on a page of its own."""
        if self.asks_who(request):
            return False
        verdict = self.send(request)
        if verdict.refusals and not self.asks_first(request, verdict):
            self._pages.want(Refused(one_a_rule(verdict.refusals)))
        return verdict.accepted

    def asks_who(self, request: Request) -> bool:
        """Open the question who stands at the car where a touch is to be signed and nobody has said; return whether.

        So nothing is signed by a name that is left over from the day before, or is only the first of the crew.
        """
        if not isinstance(request, Signed) or request.by is None or self._is_said():
            return False
        self._pages.want(WhoThen(request))
        return True

    def asks_first(self, request: Request, verdict: Verdict) -> bool:
        """Open the page of the question where a refusal only asks one; return whether it does."""
        if verdict.accepted or not verdict.possible or not isinstance(request, Start | FinishStep | MoveCar):
            return False
        self._pages.want(AskFirst(request))
        return True
