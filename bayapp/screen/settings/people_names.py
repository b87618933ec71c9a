"""The people of the shop: type a name with gloves on, hold one to remove it. Joins page and settings."""

from PySide6.QtCore import QObject

from bayapp.job.model.ids import Person
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.settings.people_names import with_person, without_person
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

MOST = 11


class PeopleNames(QObject):
    """Shows and changes the names of the shop's people."""

    def __init__(self, parent: QObject, settings: ShopSettings, typing: TypedEntryController, show: Show) -> None:
        super().__init__(parent)
        self._settings, self._typing, self._show = settings, typing, show

    def open(self) -> None:
        """Show all names."""
        people = self._settings.read().people
        entries: list[Entry[Person | None]] = [Entry(None, _("Add a name"), glyph="person")]
        entries += [Entry(name, name, _("takes the name off this list"), hold=True) for name in people[:MOST]]
        subtitle = _("Offered for the crew of a car. What was recorded stays.")
        if len(people) > MOST:
            subtitle = _("{n} more names stand in the file settings.toml.").format(n=len(people) - MOST)
        self._show(_("People"), self._settings.trouble or subtitle, entries, self._chosen, ())

    def _chosen(self, person: Person | None) -> None:
        if person is None:
            subtitle = _("Letters that are not here are typed on a keyboard, or in settings.toml.")
            self._typing.ask(Typing(Kind.NAME, _("Name"), subtitle), self._add)
        else:
            self._settings.change(lambda now: without_person(now, person))
            self.open()

    def _add(self, typing: Typing) -> None:
        self._settings.change(lambda now: with_person(now, typing.text))
        self.open()
