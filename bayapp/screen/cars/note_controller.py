"""Writes a usual note, or one in own words, about zones, worked or not, or about the whole car."""

from bayapp.job import WriteNote
from bayapp.job.text.naming import capital, zones_title
from bayapp.pages.board.phrases import notes
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import AddZone, NoteAbout, Page, UnworkedZone
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.figures import clock_time
from bayapp.text.language import _

SHOWN = 3


class NoteController:
    """Offers the notes, and writes the touched one, for all zones or for none."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        choices: Choices,
        typing: TypedEntryController,
    ) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices
        self._typing = typing

    def open(self, wanted: NoteAbout) -> None:
        """Ask what is to be written."""

        def write(text: str) -> None:
            if not self._sender.send_or_show_refusal(WriteNote(wanted.job, text, wanted.zones, self._selection.by)):
                return
            if wanted.zones and not job.block_of.keys() & set(wanted.zones):
                self._pages.want(UnworkedZone(wanted.job, wanted.zones[0]))  # it has no ladder that would show the note
            else:
                self._pages.leave()

        job = self._selection.bay.state.jobs[wanted.job].job
        about = capital(zones_title(job, wanted.zones)) if wanted.zones else job.name

        def chosen(note: str | None) -> None:
            if note is None:
                typing, key = Typing(Kind.NOTE, _("Note"), about), (wanted.job, wanted.zones)
                self._typing.ask(typing, lambda typed: write(typed.sentence), about=key)
            else:
                write(note)

        entries: list[Entry[str | None]] = [Entry(None, _("In own words"), _("typed by letters"), glyph="note")]
        entries += [Entry(note, capital(note)) for note in notes()]
        subtitle = _("{zones}: it goes into the day record.").format(zones=about)
        self._choices.show(_("Note"), subtitle, entries, chosen, self._written(wanted))

    def _written(self, about: NoteAbout) -> tuple[str, ...]:
        """Return the notes that are there already, the newest first."""
        state = self._selection.bay.state.jobs[about.job]
        texts = [
            _("{time}: {text}").format(time=clock_time(n.at, self._selection.tz, seconds=False), text=capital(n.text))
            for n in state.notes
            if (n.zone in about.zones if about.zones else n.zone is None)
        ]
        return tuple(dict.fromkeys(reversed(texts)))[:SHOWN]

    def open_unworked(self, wanted: UnworkedZone) -> None:
        """Say of a zone that it is not worked, and offer to add it to the work, and a note about it."""
        job = self._selection.bay.state.jobs[wanted.job].job
        entries: list[Entry[AddZone | NoteAbout | Page]] = [
            Entry(
                AddZone(wanted.job, wanted.zone),
                _("Add it to the work"),
                _("this zone alone, by its usual recipe"),
                glyph="more",
            ),
            Entry(
                NoteAbout(wanted.job, (wanted.zone,)), _("Note"), _("a scratch, a chip, what was agreed"), glyph="note"
            ),
            Entry(Page.CHANGE, _("Change this job"), _("add work, another recipe, set zones aside"), glyph="change"),
        ]
        self._choices.show(
            capital(job.zone_names[wanted.zone]),
            _("It is not worked in this job."),
            entries,
            self._pages.want,
            self._written(NoteAbout(wanted.job, (wanted.zone,))),
        )
