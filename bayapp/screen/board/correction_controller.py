"""Corrects the times of a recorded step by minutes, as far as the gate allows."""

from PySide6.QtCore import QObject

from bayapp.job import CorrectTime
from bayapp.pages.board.correction import RunEdge, TimeEntry, against_recording, correction, time_entry
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CorrectTimes
from bayapp.screen.board.correction import CorrectionPage
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender


class CorrectionController(QObject):
    """Lets the times of a zone's latest step be moved, and records that."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, refresher: Refresher) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._entry: TimeEntry | None = None
        self._shown: tuple[CorrectTime, ...] = ()  # what the page asks for, as it was painted last
        self.page = CorrectionPage(pages.look, pages.window)
        self.page.shifted.connect(self._shift)
        self.page.record_wanted.connect(self._record)
        self._pages.add(self.page)
        refresher.refreshed.connect(self._show)

    def open(self, wanted: CorrectTimes) -> None:
        """Begin with the latest step of these zones."""
        self._entry = time_entry(self._selection.bay.state.jobs[wanted.job], wanted.zones)
        if self._entry:
            self._pages.show(self.page)
            self._show()

    def _show(self) -> None:
        """Show what would be recorded; what is refused now may be allowed a minute later."""
        if self._entry and self._pages.standing is self.page:
            view = correction(
                self._selection.bay, self._entry, self._selection.by, self._selection.bay.now(), self._selection.tz
            )
            self._shown = view.requests
            self.page.show_correction(view)

    def _shift(self, edge: RunEdge, minutes: int) -> None:
        if self._entry:
            self._entry = self._entry.shift(edge, minutes)
            self._show()

    def _record(self) -> None:
        """Record the shown times, all or none; if that is no longer allowed, the page says why."""
        asked = self._shown
        if self._entry is None:
            return
        if against_recording(self._selection.bay, self._entry, asked, self._selection.bay.now(), self._selection.tz):
            self._show()
        elif all(self._sender.send_or_show_refusal(request) for request in asked):
            self._pages.leave()
