"""Manages the car's place on the board: the car itself, a ladder, or a page, and where the way back leads."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import JobId, ZoneId
from bayapp.pages.levels import Place, all_above, place_of
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Wanted
from bayapp.screen.widgets.choice_page import ChoicePage
from bayapp.screen.widgets.entry_page import EntryPage, HeadedPage
from bayapp.screen.widgets.look import Look


@dataclass(frozen=True, slots=True)
class Level:
    """What has been shown on the way down from the board.

    Attributes:
        key: shown again, it takes the place of what came after it: a widget, or the title of a choice page.
        again: shows it once more.
        records: a keypad, to which no way back leads: what it holds could be recorded twice.
        told: only to be read; nothing leads back to it either.
    """

    key: Hashable
    again: Callable[[], None]
    records: bool = False
    told: bool = False


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
        self._levels: list[Level] = []  # from the board down to what is shown
        self._place: Place | None = None  # a place that was asked for and has not been shown yet
        self._want_again: Callable[[Wanted], None] = self.want
        self.standing: QWidget | None = None
        self.choices.closed.connect(self.back)
        self._turn_to(None)

    @property
    def pages(self) -> tuple[QWidget, ...]:
        """All pages that can be shown."""
        return tuple(self._pages)

    def want(self, wanted: Wanted) -> None:
        """Ask for a page to be opened."""
        place = place_of(wanted)
        if place is not None:
            self._levels = [Level(one, partial(self.want, one)) for one in all_above(place)]
        self._ask(wanted, self.want)

    def want_below(self, wanted: Wanted) -> None:
        """Ask for a page that leads back to the one shown now, wherever its own place is."""
        self._ask(wanted, self.want_below)

    def _ask(self, wanted: Wanted, again: Callable[[Wanted], None]) -> None:
        self._place, self._want_again = place_of(wanted), again
        self.wanted.emit(wanted)
        self._place = None

    def add(self, page: HeadedPage) -> None:
        """Add a page that can be shown."""
        self._pages.append(page)
        page.hide()
        page.closed.connect(self.back)
        self.turned.emit()

    def show(self, page: HeadedPage) -> None:
        """Show a page that was added and filled before."""
        self._enter(Level(page, partial(self.show, page), records=isinstance(page, EntryPage)))
        self._turn_to(page)

    def show_instead(self, page: HeadedPage) -> None:
        """Show a page in the place of the one shown now, to which nobody goes back."""
        if self._levels:
            self._levels.pop()
        self.show(page)

    def show_choices(self, again: Callable[[], None], *, told: bool) -> None:
        """Show the choice page, filled before; ``again`` fills and shows it once more, ``told``: it offers nothing."""
        self._enter(Level(self.choices.title, again, told=told))
        self._turn_to(self.choices)

    def show_car(self, job: JobId) -> None:
        """Show a car's board."""
        self._selection.turn_to_car(job)
        self.show_board()

    def show_board(self) -> None:
        """Go back to the car."""
        self._levels.clear()
        self._selection.close_zones()
        self._turn_to(None)
        self.stale.emit()

    def show_ladder(self, job: JobId | None, zones: tuple[ZoneId, ...]) -> None:
        """Open the ladder of these zones."""
        if job is None:
            return
        self._levels.clear()
        self._selection.open_zones(job, zones)
        self._turn_to(self.ladder)
        self.stale.emit()

    def back(self) -> None:
        """Go up one level; from the highest page to the ladder that it was opened from, else to the board."""
        if self.standing is None or self.standing is self.ladder or not self._levels:
            self.leave()
            return
        left = self._levels.pop()
        while self._levels and self._levels[-1].records and not left.told:
            self._levels.pop()
        if self._levels:
            self._levels.pop().again()
        else:
            self.leave()

    def leave(self) -> None:
        """Leave all pages for the ladder that they were opened from, else for the board."""
        if self._selection.zones and self.standing is not self.ladder:
            self.show_ladder(self._selection.job, self._selection.zones)
        else:
            self.show_board()

    def _enter(self, level: Level) -> None:
        """Go down to a level, or up to it where it was shown on the way."""
        if self._place is not None and isinstance(level.key, str):  # a widget stands as it was left
            level = Level(level.key, partial(self._want_again, self._place), level.records, level.told)
        self._place = None
        known = next((n for n, other in enumerate(self._levels) if other.key == level.key), len(self._levels))
        del self._levels[known:]
        if self._levels and (self._levels[-1].told or (self._levels[-1].records and not level.told)):
            self._levels.pop()
        self._levels.append(level)

    def _turn_to(self, page: QWidget | None) -> None:
        self.standing = page
        for known in self._pages:
            known.setVisible(page is known)
        self.turned.emit()
