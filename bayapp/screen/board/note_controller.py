"""Writes one of the usual notes about zones, or about the whole car."""

from bayapp.job import WriteNote
from bayapp.job.text.naming import capital
from bayapp.pages.board.phrases import notes
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import NoteAbout
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class NoteController:
    """Offers the notes, and writes the touched one, for all zones or for none."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, choices: Choices) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices

    def open(self, wanted: NoteAbout) -> None:
        """Ask what is to be written."""

        def write(text: str) -> None:
            if self._sender.send_or_show_refusal(WriteNote(wanted.job, text, wanted.zones, self._selection.by)):
                self._pages.leave()

        entries = [Entry(note, capital(note)) for note in notes()]
        self._choices.show(_("Note"), _("It goes into the day record."), entries, write)
