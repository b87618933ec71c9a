"""Asks who works at the car, if the crew is too large for the strip."""

from bayapp.job.model.ids import Person
from bayapp.pages.board.people import joining, people_at_hand
from bayapp.pages.selection import Selection
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
        self._choices.show(_("Who stands at the car?"), "", entries, self._stands)

    def _stands(self, person: Person) -> None:
        car = self._selection.car
        asked = joining(car.job, person) if car else None
        if asked is not None and not self._sender.send_or_show_refusal(asked):
            return
        self._selection.choose_person(person)
        self._refresher.refresh()
        self._pages.leave()
