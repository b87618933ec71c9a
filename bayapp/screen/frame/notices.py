"""Pages to read: refusals, problems with the store, the cautions."""

from collections.abc import Callable

from bayapp.job import why_not
from bayapp.pages.board.phrases import cautions
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Refused, StoreFound, StoreTrouble
from bayapp.record import BackgroundWriteFailed
from bayapp.screen.frame.choices import Choices
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class Notices:
    """Shows sentences to read; the only button is the way back."""

    def __init__(self, selection: Selection, choices: Choices, write_back: Callable[[], None]) -> None:
        """``write_back``: asked for where the file of the journal is gone and the wall still has it open."""
        self._selection, self._choices, self._write_back = selection, choices, write_back

    def show_cautions(self) -> None:
        """Show the usual cautions of the work."""
        self._choices.tell(_("Cautions"), "", *cautions())

    def say_refused(self, wanted: Refused) -> None:
        """Show a refusal that no button on the page can show."""
        bay, tz = self._selection.bay, self._selection.tz
        self._choices.tell(_("Not now"), "", *(why_not(refusal, bay.state, tz) for refusal in wanted.refusals))

    def say_found(self, wanted: StoreFound) -> None:
        """Show what was found wrong with the journal."""
        self._choices.tell(_("The journal"), "", *wanted.sentences)

    def say_trouble(self, wanted: StoreTrouble) -> None:
        """Show that the store failed, and whether a touch was lost; the clocks run on."""
        problem = wanted.problem
        where = _("{what} ({where})").format(what=problem.what, where=problem.where)
        if isinstance(problem, BackgroundWriteFailed):
            kept = _("No touch is lost, and the clocks shown run on. But nothing can be recorded until this is mended.")
            self._choices.show(
                _("The store fails"),
                "",
                self._ways(),
                lambda _way: self._write_back(),
                (where, problem.remedy, kept),
            )
            return
        lost = _("What was touched last is not recorded: touch it again. The clocks shown run on.")
        self._choices.tell(_("Not recorded"), "", where, problem.remedy, lost)

    def _ways(self) -> list[Entry[str]]:
        """Return the way back for a journal that is gone from its folder and is still open here."""
        if not self._selection.bay.store_watch.may_write_back:
            return []
        detail = _("all that was recorded, from what the wall still has")
        return [Entry("write-back", _("write it back"), detail, hold=True)]
