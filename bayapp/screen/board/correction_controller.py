"""Another time for a step that was recorded: moved in minutes, asked of the gate."""

from PySide6.QtCore import QObject

from bayapp.pages.board.correction import Edge, TimeEntry, correction, time_entry
from bayapp.screen.board.correction import CorrectionPage
from bayapp.screen.board.wall import Wall


class CorrectionController(QObject):
    """Lets the times of a zone's latest step be moved, and records that."""

    def __init__(self, wall: Wall) -> None:
        super().__init__(wall)
        self._wall = wall
        self._entry: TimeEntry | None = None
        self.page = CorrectionPage(wall.look, wall)
        self.page.shifted.connect(self._shift)
        self.page.record_wanted.connect(self._record)
        wall.add_page(self.page)
        wall.refreshed.connect(self._show)

    def open(self, about: object) -> None:
        """Begin with the latest step of these zones."""
        assert isinstance(about, tuple)
        job = self._wall.job
        assert job
        self._entry = time_entry(self._wall.bay.state.jobs[job], about)
        if self._entry:
            self._wall.show_page(self.page)
            self._show()

    def _show(self) -> None:
        """Say what would be recorded; what is refused now may be right a minute later."""
        wall = self._wall
        if self._entry and self.page.isVisibleTo(wall):
            self.page.show_correction(correction(wall.bay, self._entry, wall.by, wall.bay.now(), wall.tz))

    def _shift(self, edge: Edge, minutes: int) -> None:
        if self._entry:
            self._entry = self._entry.shift(edge, minutes)
            self._show()

    def _record(self) -> None:
        wall = self._wall
        if self._entry is None:
            return
        if correction(wall.bay, self._entry, wall.by, wall.bay.now(), wall.tz).trouble:
            self._show()
            return
        if all(wall.ask_or_say(request) for request in self._entry.requests(wall.by)):
            wall.back()
