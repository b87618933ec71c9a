"""Reports that the machine's clock was moved, and asks what time it is if that cannot be known."""

from bayapp.pages.board.clock_question import (
    ClockAnswer,
    ClockChoice,
    ClockNotice,
    clock_notice_now,
    clock_page,
    still_so,
)
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import ShowClockNotice
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry


class ClockQuestionController:
    """Shows the page of the clock, and takes the answer."""

    def __init__(self, selection: Selection, pages: PageStack, choices: Choices) -> None:
        self._selection, self._pages, self._choices = selection, pages, choices

    def open(self) -> None:
        """Show the present notice."""
        self._show(clock_notice_now(self._selection.bay, self._selection.tz))

    def open_notice(self, wanted: ShowClockNotice) -> None:
        """Tell what the button of the strip said."""
        self._show(wanted.notice)

    def _show(self, notice: ClockNotice | None) -> None:
        page = clock_page(self._selection.bay, notice, self._selection.tz)
        entries = [Entry(choice, choice.title, choice.detail) for choice in page.choices]
        self._choices.show(page.title, page.subtitle, entries, self._answered, (page.sentence,))

    def _answered(self, choice: ClockChoice) -> None:
        """Record an answer, unless the machine's clock has changed since the button was painted."""
        bay, by_machine = self._selection.bay, choice.answer is ClockAnswer.MACHINE
        if by_machine and not still_so(bay, choice):
            self._show(ClockNotice.QUESTION)
            return
        if choice.answer is not ClockAnswer.LATER:
            bay.clock_watch.settle(to_wall=by_machine)
        self._pages.show_board()
