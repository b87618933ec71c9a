"""Who is in today: one touch adds or removes a person on every car in the bay."""

from dataclasses import dataclass

from bayapp.files.shop.settings import people_recorded
from bayapp.job import ChangeCrew
from bayapp.job.model.ids import Person
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.people_names import add_person
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import Portion, show_paged
from bayapp.text.language import _

MOST_PEOPLE = 13


@dataclass(frozen=True, slots=True)
class ComesOrGoes:
    """What a touch on a name asks for."""

    person: Person
    comes: bool


class PeopleController:
    """Changes the crews of all cars at once; ``store`` holds the settings that name the shop's people."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
        settings: ShopSettings,
        show: Show,
        typing: TypedEntryController,
    ) -> None:
        self._selection, self._pages, self._sender, self._refresher = selection, pages, sender, refresher
        self._settings, self._show, self._typing = settings, show, typing

    def open(self) -> None:
        """Show everybody of the shop, and whoever else works on a car."""
        jobs = [state.job for state in self._selection.bay.state.open_jobs]
        inside = {person for job in jobs for person in job.crew}
        people = dict.fromkeys(
            [*people_recorded(self._settings.read()), *(person for job in jobs for person in job.crew)]
        )
        # The new name comes first, so that nobody comes to lie where the finger was that just added one.
        entries: list[Entry[ComesOrGoes | Page | None]] = [
            Entry(None, _("A new name"), _("typed by letters"), glyph="person"),
            Entry(Page.NAMES, _("Everybody"), _("who does not do what, how names are recorded"), glyph="settings"),
        ]
        entries += [
            Entry(
                ComesOrGoes(name, comes=name not in inside),
                name,
                _("in today") if name in inside else _("not in"),
                glyph="person",
                chosen=name in inside,
            )
            for name in people
        ]
        how = _("A touch lets somebody come or go, on every car.")
        if self._settings.read().names == "none":
            entries = entries[1:]
            how = _("Names are not recorded in this shop.")
        elif not people:
            how = _("Nobody is named yet: the work is recorded without a name.")
        elif not jobs:
            how = _("No car is in the bay; its people are chosen when one comes in.")
        show_paged(_("Who is in today?"), how, entries, self._chosen, self._show, Portion(most=MOST_PEOPLE))

    def _chosen(self, key: ComesOrGoes | Page | None) -> None:
        if key is None:
            typing = Typing(Kind.NAME, _("Name"), _("In today, on every car; offered for every car from now on."))
            self._typing.ask(typing, self._add)
        elif isinstance(key, Page):
            self._pages.want(key)
        else:
            self._touched(key)

    def _add(self, typing: Typing) -> None:
        person = add_person(self._settings, typing.text)
        if person is None:
            self.open()
        else:
            self._touched(ComesOrGoes(person, comes=True))

    def _touched(self, key: ComesOrGoes) -> None:
        person, goes = key.person, not key.comes
        for job in [state.job for state in self._selection.bay.state.open_jobs]:
            others = tuple(name for name in job.crew if name != person)
            crew = others if goes else (*others, person) if person not in job.crew else job.crew
            if crew != job.crew and not self._sender.send_or_show_refusal(ChangeCrew(job.id, crew, self._selection.by)):
                return
        if goes and self._selection.by == person:
            self._selection.choose_person(None)
        self._selection.ensure_person_in_crew()
        self._refresher.refresh()
        self.open()
