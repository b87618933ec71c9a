"""Asks who works at the car, if the crew is too large for the strip."""

from bayapp.job.model.ids import Person
from bayapp.pages.selection import Selection
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class WhoStandsController:
    """Offers the whole crew of the car that is shown."""

    def __init__(self, selection: Selection, pages: PageStack, refresher: Refresher, choices: Choices) -> None:
        self._selection, self._pages, self._refresher, self._choices = selection, pages, refresher, choices

    def open(self) -> None:
        """Ask who."""
        chosen = self._selection
        crew = chosen.car.job.crew if chosen.car else ()
        entries = [Entry(person, person, glyph="person", chosen=person == chosen.by) for person in crew]
        self._choices.show(_("Who stands at the car?"), "", entries, self._stands)

    def _stands(self, person: Person) -> None:
        self._selection.choose_person(person)
        self._refresher.refresh()
        self._pages.leave()
