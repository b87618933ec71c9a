"""Opens the page of all cars and keeps it up to date with the bay."""

from PySide6.QtCore import QObject

from bayapp.pages.board.bays import bays, quiet_faces
from bayapp.pages.board.clock_column import tiles
from bayapp.pages.plan.promise import broken_promises
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import WhereStands
from bayapp.screen.board.bays import BaysPage
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack


class BaysController(QObject):
    """Shows up to six cars at once; a touch on one shows its board."""

    def __init__(self, selection: Selection, pages: PageStack, drawings: Drawings, refresher: Refresher) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._drawings = selection, pages, drawings
        self.page = BaysPage(pages.look, pages.window)
        self.page.chosen.connect(pages.show_car)
        self.page.moving.connect(lambda job: pages.want(WhereStands(job)))
        self._pages.add(self.page)
        refresher.refreshed.connect(self._refresh)

    def open(self) -> None:
        """Show all cars in the car's place."""
        self._pages.show(self.page)
        self._refresh()

    def _refresh(self) -> None:
        if self._pages.standing is not self.page:
            return
        at = self._selection.bay.now()
        now, cars = self._selection.bay.clocks(at), self._selection.bay.state.open_jobs
        promises = broken_promises(self._selection.bay.state, self._selection.bay.advice.order, at, self._selection.tz)
        found = bays(
            self._selection.bay.state, tiles(self._selection.bay.state, now, at), now, self._selection.job, promises
        )
        jobs, shown = [car.job for car in cars], cars[: len(found)]
        self.page.show_bays(
            found, [self._drawings.of(car.job.id, jobs) for car in shown], [quiet_faces(car, now, at) for car in shown]
        )
