"""Asks whether water on one car reaches another that must only be kept dry, and goes on with the answer."""

from bayapp.job.gate.place_gate import answers_to
from bayapp.pages.board.splash_question import splash_question
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import AskFirst, WhereStands
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class SplashController:
    """Asks of one car after the other; yes carries out what was asked for, no is written down, too."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, choices: Choices) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices

    def open(self, wanted: AskFirst) -> None:
        """Ask the first question that the gate has of this request; where it has none, go on with it."""
        bay, chosen = self._selection.bay, self._selection
        verdict = bay.judge(wanted.request)
        question = splash_question(verdict, bay.state, bay.now(), chosen.tz)
        if question is None:
            self._go_on(wanted)
            return
        entries: list[Entry[bool | WhereStands]] = [
            Entry(True, _("Yes, out of reach"), question.yes),
            Entry(False, _("No, water gets there"), question.no),
            Entry(WhereStands(question.wet), _("Move {car}").format(car=question.car), _("then nobody need ask")),
        ]

        def answered(key: bool | WhereStands) -> None:
            if isinstance(key, WhereStands):
                self._pages.want(key)
                return
            answer = answers_to(verdict, out_of_reach=key, by=wanted.request.by)[0]
            if not self._sender.send_or_show_refusal(answer):
                return
            if key:
                self.open(wanted)
            else:
                self._pages.back()

        self._choices.show(question.title, question.subtitle, entries, answered)

    def _go_on(self, wanted: AskFirst) -> None:
        if self._sender.send_or_show_refusal(wanted.request):
            self._pages.back()
