"""Who is in today: one touch adds or removes a person on every car in the bay."""

from dataclasses import dataclass

from bayapp.files.shop.settings import people_recorded
from bayapp.job import ChangeCrew
from bayapp.job.model.ids import Person
from bayapp.pages.selection import Selection
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class ComesOrGoes:
    """What a touch on a name asks for."""

    person: Person
    comes: bool


class PeopleController:
    """Changes the crews of all cars at once; ``store`` holds the settings that name the shop's people."""

    def __init__(
        self, selection: Selection, sender: RequestSender, refresher: Refresher, settings: ShopSettings, show: Show
    ) -> None:
        self._selection, self._sender, self._refresher = selection, sender, refresher
        self._settings, self._show = settings, show

    def open(self) -> None:
        """Show everybody of the shop, and whoever else works on a car."""
        jobs = [state.job for state in self._selection.bay.state.open_jobs]
        inside = {person for job in jobs for person in job.crew}
        people = dict.fromkeys(
            [*people_recorded(self._settings.read()), *(person for job in jobs for person in job.crew)]
        )
        entries = [
            Entry(
                ComesOrGoes(name, comes=name not in inside),
                name,
                _("in today") if name in inside else _("not in"),
                glyph="person",
                chosen=name in inside,
            )
            for name in people
        ]
        sentences: tuple[str, ...] = ()
        if not people:
            sentences = (_("Nobody is named in the settings: the work is recorded without a name."),)
        elif not jobs:
            sentences = (_("No car is in the bay; its people are chosen when one comes in."),)
        how = _("A touch lets somebody come or go, on every car.")
        self._show(_("Who is in today?"), how, entries, self._touched, sentences)

    def _touched(self, key: ComesOrGoes) -> None:
        person, goes = key.person, not key.comes
        for job in [state.job for state in self._selection.bay.state.open_jobs]:
            others = tuple(name for name in job.crew if name != person)
            crew = others if goes else (*others, person)
            if crew != job.crew and not self._sender.send_or_show_refusal(ChangeCrew(job.id, crew, self._selection.by)):
                return
        if goes and self._selection.by == person:
            self._selection.choose_person(None)
        self._selection.ensure_person_in_crew()
        self._refresher.refresh()
        self.open()
