"""Asks who works at the car, if the crew is too large for the strip."""

from collections.abc import Callable
from dataclasses import replace

from bayapp.job import GiveIdentity, LiftMark, SetMark
from bayapp.job.model.ids import Person
from bayapp.pages.board.people import joining, people_at_hand
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page, Signed, WhoThen
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class WhoStandsController:
    """Offers the whole crew of the car that is shown."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
        choices: Choices,
    ) -> None:
        self._selection, self._pages, self._sender = selection, pages, sender
        self._refresher, self._choices = refresher, choices

    def open(self) -> None:
        """Ask who."""
        self._ask("", self._stands)

    def open_then(self, wanted: WhoThen) -> None:
        """Ask who, and go on in that name with what was touched."""
        subtitle = _("Asked once a day: what is touched from now on is recorded under this name.")

        def stands(person: Person) -> None:
            if self._chosen(person) and self._sender.send_or_show_refusal(replace(wanted.request, by=person)):
                self._went_on(wanted.request)

        self._ask(subtitle, stands)

    def _went_on(self, request: Signed) -> None:
        """Go back to where it was touched: what is told of a car that arrives is told on a page."""
        if isinstance(request, GiveIdentity | SetMark | LiftMark):
            self._pages.want(Page.ARRIVAL)
        else:
            self._pages.leave()

    def _ask(self, subtitle: str, answer: Callable[[Person], None]) -> None:
        chosen = self._selection
        car = chosen.car
        people = people_at_hand(chosen.bay.state, car.job) if car else ()
        entries = [
            Entry(
                person,
                person,
                "" if car and person in car.job.crew else _("joins this car"),
                glyph="person",
                chosen=person == chosen.by,
            )
            for person in people
        ]
        self._choices.show(_("Who stands at the car?"), subtitle, entries, answer)

    def _stands(self, person: Person) -> None:
        if self._chosen(person):
            self._pages.leave()

    def _chosen(self, person: Person) -> bool:
        """Let a person stand at the car, who joins it if need be; return whether that may be."""
        car = self._selection.car
        asked = joining(car.job, person) if car else None
        if asked is not None and not self._sender.send_or_show_refusal(asked):
            return False
        self._selection.choose_person(person)
        self._refresher.refresh()
        return True
