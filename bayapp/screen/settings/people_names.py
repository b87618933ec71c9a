"""The people of the shop: type a name with gloves on, say what somebody does not do, hold one to remove it.

Joins page and settings.
"""

from enum import Enum

from PySide6.QtCore import QObject

from bayapp.files.shop.settings import people_recorded
from bayapp.job.model.ids import Person, StepKind
from bayapp.job.text.naming import capital, kind_words
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.settings.people_names import (
    cannot_text,
    names_text,
    with_next_names,
    with_other_ability,
    with_person,
    without_person,
)
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

MOST = 10


def add_person(settings: ShopSettings, typed: str) -> Person | None:
    """Add a person to the shop; return how that one is recorded, None where nobody was added and no name is recorded.

    A name that is known already is returned as it is.
    """
    settings.change(lambda now: with_person(now, typed))
    now = settings.read()
    recorded = people_recorded(now)
    wanted = typed.strip().casefold()
    return next((r for name, r in zip(now.people, recorded, strict=False) if name.casefold() == wanted), None)


class OfAll(Enum):
    """What the page of names offers beside the names."""

    ADD = "add"
    RECORDED = "recorded"


class PeopleNames(QObject):
    """Shows and changes the people of the shop."""

    def __init__(self, parent: QObject, settings: ShopSettings, typing: TypedEntryController, show: Show) -> None:
        super().__init__(parent)
        self._settings, self._typing, self._show = settings, typing, show

    def open(self) -> None:
        """Show all names."""
        now = self._settings.read()
        entries: list[Entry[Person | OfAll]] = [
            Entry(OfAll.ADD, _("Add a name"), glyph="person"),
            Entry(OfAll.RECORDED, _("Recorded"), names_text(now)),
            *(Entry(name, name, cannot_text(now, name), glyph="person") for name in now.people[:MOST]),
        ]
        subtitle = _("Offered for the crew of a car. What was recorded stays.")
        if len(now.people) > MOST:
            subtitle = _("{n} more names stand in the file settings.toml.").format(n=len(now.people) - MOST)
        self._show(_("People"), self._settings.trouble or subtitle, entries, self._chosen, ())

    def _chosen(self, key: Person | OfAll) -> None:
        if key is OfAll.ADD:
            subtitle = _("Letters that are not here are typed on a keyboard, or in settings.toml.")
            self._typing.ask(Typing(Kind.NAME, _("Name"), subtitle), self._add)
        elif key is OfAll.RECORDED:
            self._settings.change(with_next_names)
            self.open()
        elif isinstance(key, str):
            self._open_person(key)

    def _add(self, typing: Typing) -> None:
        self._settings.change(lambda now: with_person(now, typing.text))
        self.open()

    def _open_person(self, person: Person) -> None:
        """Show what somebody does and does not do; the plan gives that work to others."""
        cannot = self._settings.read().cannot.get(person, ())
        entries: list[Entry[StepKind | None]] = [
            Entry(
                kind, capital(kind_words(kind)), _("does not") if kind in cannot else _("does"), chosen=kind in cannot
            )
            for kind in StepKind
        ]
        entries.append(Entry(None, _("take {name} off").format(name=person), _("off this list"), hold=True))

        def chosen(kind: StepKind | None) -> None:
            if kind is None:
                self._settings.change(lambda now: without_person(now, person))
                self.open()
                return
            self._settings.change(lambda now: with_other_ability(now, person, kind))
            self._open_person(person)

        subtitle = _("Touch what is left to others: the plan keeps to it.")
        self._show(person, self._settings.trouble or subtitle, entries, chosen, ())
