"""Asks for confirmation that a car leaves the bay, and closes its job."""

from bayapp.job import CloseJob
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class CarLeavesController:
    """Closes the job of the car that is shown, by a hold."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, choices: Choices) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices

    def open(self) -> None:
        """Ask for confirmation."""
        chosen = self._selection
        if chosen.job is None:
            return
        entries: list[Entry[CloseJob | None]] = [
            Entry(CloseJob(chosen.job, chosen.by), _("the car has left"), hold=True),
            Entry(None, _("It stays")),
        ]
        sentence = _("Its clocks go away; its record stays. Write the day record first.")
        self._choices.show(_("Car leaves the bay?"), "", entries, self._answered, (sentence,))

    def _answered(self, leaving: CloseJob | None) -> None:
        if leaving:
            if not self._sender.send_or_show_refusal(leaving):
                return
            self._selection.turn_to_first_car()
        self._pages.show_board()
        if not self._selection.bay.state.open_jobs:
            self._pages.want(Page.CARS)
