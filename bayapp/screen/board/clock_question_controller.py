"""Shows the page of the clock, asks how long the machine was off, and lets the time be typed."""

from collections.abc import Callable
from datetime import date, time, timedelta

from PySide6.QtCore import QObject

from bayapp.job import why_not
from bayapp.pages.board.clock_question import (
    ClockChoice,
    ClockPage,
    ClockTouch,
    clock_page,
    meant,
    still_so,
    typed_page,
)
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import ShowClockNotice
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _

Ask = Callable[[Typing, Callable[[Typing], None]], None]
"""Lets a value be typed, and passes it on."""


class ClockQuestionController(QObject):
    """Shows the page of the clock, and takes what a person says of the time."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        choices: Choices,
        ask: Ask,
        refresher: Refresher,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._choices, self._ask = selection, pages, choices, ask
        self._shown: ClockPage | None = None
        self._showing = -1
        self._ahead = timedelta()
        refresher.refreshed.connect(self._follow)

    def open(self) -> None:
        """Show the page."""
        self._show(clock_page(self._selection.bay, self._selection.tz))
        self._showing = self._pages.choices.showing

    def open_notice(self, wanted: ShowClockNotice) -> None:
        """Tell what the button of the strip said."""
        self.open()

    def _follow(self) -> None:
        """Keep the times on the page right while it is looked at."""
        standing = self._pages.standing is self._pages.choices and self._pages.choices.showing == self._showing
        if standing and self._shown != clock_page(self._selection.bay, self._selection.tz):
            self.open()

    def _show(self, page: ClockPage) -> None:
        self._shown, self._showing = page, -1
        entries = [Entry(choice, choice.title, choice.detail) for choice in page.choices]
        self._choices.show(page.title, page.subtitle, entries, self._answered, page.sentences)

    def _answered(self, choice: ClockChoice) -> None:
        """Do what a button says, unless the machine's clock has changed since it was painted."""
        bay = self._selection.bay
        if choice.touch is ClockTouch.TYPE_TIME:
            self._type_time()
        elif choice.touch is ClockTouch.TYPE_DAY:
            self._type_day()
        elif choice.touch is ClockTouch.SAY_WHY and choice.ahead is not None:
            self._ahead = choice.ahead
            self._show(typed_page(bay, self._ahead, self._selection.tz))
        elif not still_so(bay, choice):
            self.open()
        else:
            verdict = bay.clock_watch.say(choice.request(bay.now(), self._selection.by))
            if verdict.refusal:
                why = why_not(verdict.refusal, bay.state, self._selection.tz)
                self._choices.tell(_("It cannot be so early"), "", why)
            else:
                self._pages.show_board()

    def _type_time(self) -> None:
        typing = Typing(Kind.TIME, _("What time is it?"), _("By a watch or a phone that is right."))
        self._ask(typing, lambda typed: self._take(typed.time_of_day))

    def _type_day(self) -> None:
        at = (self._selection.bay.now() + self._ahead).astimezone(self._selection.tz)
        typing = Typing(Kind.DATE, _("Which day is it?")).opened_with(at.date())
        self._ask(typing, lambda typed: self._take(at.time(), typed.day))

    def _take(self, typed: time | None, day: date | None = None) -> None:
        if typed is not None:
            bay, tz = self._selection.bay, self._selection.tz
            self._ahead = meant(bay, typed, tz, day) - bay.now()
            self._show(typed_page(bay, self._ahead, tz))
