"""Manages the car's place on the board: the car itself, a ladder, a page, or the choice page over one of these."""

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import JobId, ZoneId
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Wanted
from bayapp.screen.widgets.choice_page import ChoicePage
from bayapp.screen.widgets.entry_page import HeadedPage
from bayapp.screen.widgets.look import Look


class PageStack(QObject):
    """Opens pages in the car's place, and goes back.

    Attributes:
        window, look: what a page is made with.
        choices: the page of big buttons.
        ladder: the page of a ladder.
        standing: the page shown now; None for the car.

    Signals:
        wanted: a page is to be opened by its opener; carries the Wanted.
        turned: something else is shown now.
        stale: the display must be updated for what is shown now.
    """

    wanted = Signal(object)
    turned = Signal()
    stale = Signal()

    def __init__(self, window: QWidget, look: Look, selection: Selection, ladder: QWidget) -> None:
        super().__init__(window)
        self.window, self.look = window, look
        self._selection = selection
        self.ladder, self.choices = ladder, ChoicePage(look, window)
        self._pages: list[QWidget] = [self.ladder, self.choices]
        self._below: QWidget | None = None  # what the choice page was opened from
        self.standing: QWidget | None = None
        self.choices.closed.connect(self.back)
        self._turn_to(None)

    @property
    def pages(self) -> tuple[QWidget, ...]:
        """All pages that can be shown."""
        return tuple(self._pages)

    def want(self, wanted: Wanted) -> None:
        """Ask for a page to be opened."""
        self.wanted.emit(wanted)

    def add(self, page: HeadedPage) -> None:
        """Add a page that can be shown."""
        self._pages.append(page)
        page.hide()
        page.closed.connect(self.back)
        self.turned.emit()

    def show(self, page: HeadedPage) -> None:
        """Show a page that was added and filled before."""
        self._turn_to(page)

    def show_choices(self) -> None:
        """Show the choice page, filled before."""
        if self.standing is not self.choices:
            self._below = self.standing if self.standing is not self.ladder else None
        self._turn_to(self.choices)

    def show_car(self, job: JobId) -> None:
        """Show a car's board."""
        self._selection.turn_to_car(job)
        self.show_board()

    def show_board(self) -> None:
        """Go back to the car."""
        self._selection.close_zones()
        self._turn_to(None)
        self.stale.emit()

    def show_ladder(self, job: JobId | None, zones: tuple[ZoneId, ...]) -> None:
        """Open the ladder of these zones."""
        if job is None:
            return
        self._selection.open_zones(job, zones)
        self._turn_to(self.ladder)
        self.stale.emit()

    def back(self) -> None:
        """Leave the open page for the page or ladder that it came from, else for the board."""
        if self._below is not None and self.standing is self.choices:
            below, self._below = self._below, None
            self._turn_to(below)
        elif self._selection.zones and self.standing is not self.ladder:
            self.show_ladder(self._selection.job, self._selection.zones)
        else:
            self.show_board()

    def _turn_to(self, page: QWidget | None) -> None:
        self.standing = page
        for known in self._pages:
            known.setVisible(page is known)
        self.turned.emit()
