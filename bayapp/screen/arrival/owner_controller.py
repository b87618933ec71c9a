"""Asks for the owner's name and phone, keeps them apart from the journal, and erases them by a hold."""

from collections.abc import Callable
from enum import Enum
from pathlib import Path

from bayapp.job.model.ids import JobId
from bayapp.pages.arrival.owner import name_written, owner_sentences
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.wanted import ShowOwner
from bayapp.record.owners import NOBODY, Owner, OwnersUnreadable, erase_owner, keep_owner, owner_of
from bayapp.screen.frame.choices import Choices
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class _Part(Enum):
    """What can be touched."""

    NAME = "name"
    PHONE = "phone"
    ERASE = "erase"


class OwnerController:
    """Shows and changes the owner of a car, in the bay or not; ``folder`` is that of the store."""

    def __init__(self, folder: Path, choices: Choices, typing: TypedEntryController) -> None:
        self._folder, self._choices, self._typing = folder, choices, typing

    def is_told(self, job: JobId) -> bool:
        """Whether anything of the owner of a car is known."""
        try:
            return owner_of(self._folder, job) != NOBODY
        except OwnersUnreadable:
            return False

    def open(self, wanted: ShowOwner) -> None:
        """Show what is known."""
        job, trouble = wanted.job, ""
        try:
            owner = owner_of(self._folder, job)
        except OwnersUnreadable as unreadable:
            owner, trouble = NOBODY, str(unreadable)
        entries = [
            Entry(_Part.NAME, _("Name"), owner.name or _("not told"), glyph="person", chosen=bool(owner.name)),
            Entry(_Part.PHONE, _("Phone"), owner.phone or _("not told"), glyph="speech", chosen=bool(owner.phone)),
        ]
        if owner != NOBODY:
            entries.append(Entry(_Part.ERASE, _("Erase both"), _("for good"), glyph="warning", hold=True))
        sentences = (trouble, *owner_sentences()) if trouble else owner_sentences()
        self._choices.show(_("Owner"), "", entries, lambda part: self._touched(wanted, owner, part), sentences)

    def _touched(self, wanted: ShowOwner, owner: Owner, part: _Part) -> None:
        if part is _Part.ERASE:
            self._written(wanted, lambda: erase_owner(self._folder, wanted.job))
        elif part is _Part.NAME:
            typing = Typing(Kind.NOTE, _("Name of the owner"), may_be_empty=True).opened_with(owner.name)
            self._ask(wanted, typing, lambda text: owner.model_copy(update={"name": name_written(text)}))
        else:
            typing = Typing(Kind.NOTE, _("Phone of the owner"), letters=False, may_be_empty=True)
            typing = typing.opened_with(owner.phone)
            self._ask(wanted, typing, lambda text: owner.model_copy(update={"phone": " ".join(text.split())}))

    def _ask(self, wanted: ShowOwner, typing: Typing, changed: Callable[[str], Owner]) -> None:
        def take(typed: Typing) -> None:
            owner = changed(typed.text)
            self._written(wanted, lambda: keep_owner(self._folder, wanted.job, owner))

        self._typing.ask(typing, take, unchanged=lambda: self.open(wanted))

    def _written(self, wanted: ShowOwner, write: Callable[[], Path | None]) -> None:
        """Change what is kept, and show it; say where it could not be, or what was damaged before."""
        try:
            aside = write()
        except OSError as trouble:
            why = trouble.strerror or type(trouble).__name__
            self._choices.tell(_("It could not be kept"), "", _("The disk says: {why}.").format(why=why))
            return
        if aside is None:
            self.open(wanted)
            return
        laid = _("The file of owners was damaged; it lies aside as {file}, and names may still stand in it.")
        self._choices.tell(_("Owners were damaged"), "", laid.format(file=aside.name))
