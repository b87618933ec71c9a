"""Opens the page of all cars and keeps it in line with the bay. Joins the page and the door."""

from PySide6.QtCore import QObject

from bayapp.job.model.ids import JobId
from bayapp.pages.board.bays import bays, quiet_faces
from bayapp.pages.board.clock_column import tiles
from bayapp.pages.plan.promise import broken_promises
from bayapp.screen.board.bays import BaysPage
from bayapp.screen.board.wall import Wall


class BaysController(QObject):
    """Shows up to six cars at once; a touch lets one's board stand."""

    def __init__(self, wall: Wall) -> None:
        super().__init__(wall)
        self._wall = wall
        self.page = BaysPage(wall.look, wall)
        self.page.chosen.connect(lambda job: wall.show_job(JobId(job)))
        wall.add_page(self.page)
        wall.refreshed.connect(self._refresh)

    def open(self, about: object = None) -> None:
        """Let all cars stand where the car is."""
        self._wall.show_page(self.page)
        self._refresh()

    def _refresh(self) -> None:
        wall = self._wall
        if not self.page.isVisibleTo(wall):
            return
        at = wall.bay.now()
        now, jobs = wall.bay.clocks(at), [state.job for state in wall.bay.state.open_jobs]
        promises = broken_promises(wall.bay.state, wall.bay.advice.order, at, wall.tz)
        found = bays(wall.bay.state, tiles(wall.bay.state, now, at), now, wall.job, promises)
        shown = jobs[: len(found)]
        self.page.show_bays(
            found, [wall.drawings.of(job.id, jobs) for job in shown], [quiet_faces(job, now, at) for job in shown]
        )
