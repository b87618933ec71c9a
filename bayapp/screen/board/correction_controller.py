"""Another time for a step that was recorded: moved in minutes, asked of the gate."""

from PySide6.QtCore import QObject

from bayapp.job import CorrectTime
from bayapp.pages.board.correction import Edge, TimeEntry, against_recording, correction, time_entry
from bayapp.screen.board.correction import CorrectionPage
from bayapp.screen.board.wall import Wall


class CorrectionController(QObject):
    """Lets the times of a zone's latest step be moved, and records that."""

    def __init__(self, wall: Wall) -> None:
        super().__init__(wall)
        self._wall = wall
        self._entry: TimeEntry | None = None
        self._shown: tuple[CorrectTime, ...] = ()  # what the page asks for, as it was painted last
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
            view = correction(wall.bay, self._entry, wall.by, wall.bay.now(), wall.tz)
            self._shown = view.requests
            self.page.show_correction(view)

    def _shift(self, edge: Edge, minutes: int) -> None:
        if self._entry:
            self._entry = self._entry.shift(edge, minutes)
            self._show()

    def _record(self) -> None:
        """Record the times that are shown, all or none; where that has become wrong, the page says why."""
        wall, asked = self._wall, self._shown
        if self._entry is None:
            return
        if against_recording(wall.bay, self._entry, asked, wall.bay.now(), wall.tz):
            self._show()
        elif all(wall.ask_or_say(request) for request in asked):
            wall.back()
