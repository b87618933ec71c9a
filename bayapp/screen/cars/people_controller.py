"""Who is in today: one touch lets a person come or go, on every car in the bay. Joins the page and the door."""

from collections.abc import Hashable
from dataclasses import dataclass

from bayapp.files.shop.settings import people_recorded
from bayapp.job import ChangeCrew
from bayapp.job.model.ids import Person
from bayapp.screen.board.wall import Wall
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

    def __init__(self, wall: Wall, settings: ShopSettings, show: Show) -> None:
        self._wall, self._settings, self._show = wall, settings, show

    def open(self, about: object = None) -> None:
        """Show everybody of the shop, and whoever else works on a car."""
        jobs = [state.job for state in self._wall.bay.state.open_jobs]
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
        told: tuple[str, ...] = ()
        if not people:
            told = (_("Nobody is named in the settings: the work is recorded without a name."),)
        elif not jobs:
            told = (_("No car is in the bay; its people are chosen when one comes in."),)
        how = _("A touch lets somebody come or go, on every car.")
        self._show(_("Who is in today?"), how, entries, self._touched, told)

    def _touched(self, key: Hashable) -> None:
        if not isinstance(key, ComesOrGoes):
            return
        wall, person, goes = self._wall, key.person, not key.comes
        for job in [state.job for state in wall.bay.state.open_jobs]:
            others = tuple(name for name in job.crew if name != person)
            crew = others if goes else (*others, person)
            if crew != job.crew and not wall.ask_or_say(ChangeCrew(job.id, crew, wall.by)):
                return
        wall.by = None if wall.by == person and goes else wall.by
        wall.agree_person()
        wall.refresh()
        self.open()
