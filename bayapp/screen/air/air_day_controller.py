"""Opens the air page and keeps it up to date with the bay; loads it when it is first opened."""

from contextlib import suppress
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS
from bayapp.pages.air.air_day import AirPageView, air_page
from bayapp.pages.air.air_readings import air_readings
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CorrectReading, Page, ReadAirThen
from bayapp.record import StoreProblem
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import Rest
from bayapp.text.language import _, ngettext

if TYPE_CHECKING:
    from bayapp.screen.air.air_day import AirPage


class AirDayController(QObject):
    """Shows whether the air is right for coating; ``show`` fills the choice page."""

    def __init__(self, selection: Selection, pages: PageStack, refresher: Refresher, show: Show) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._show = selection, pages, show
        self._page: AirPage | None = None
        refresher.refreshed.connect(self._refresh)

    def touched(self) -> None:
        """Handle a touch on the air in the strip: if it asks for a reading, let one be typed at once."""
        air = self._selection.bay.state.air_at(self._selection.place)
        if air is None or self._selection.bay.now() - air.measured_at > READING_HOLDS:
            self._pages.want(Page.AIR)
        else:
            self.open()

    def open(self) -> None:
        """Show the page in the car's place."""
        page = self._page or self._make()
        self._pages.show(page)
        page.lay_out()
        page.show_air(self._view())

    def _make(self) -> "AirPage":
        from bayapp.screen.air.air_day import AirPage  # noqa: PLC0415 (pyqtgraph loads when the page is first looked at)

        page = self._page = AirPage(self._pages.look, self._pages.window)
        page.reading_wanted.connect(lambda: self._pages.want(ReadAirThen(Page.AIR_DAY)))
        page.correction_wanted.connect(self.readings)
        page.cautions_wanted.connect(self._say_all)
        self._pages.add(page)
        return page

    def _view(self) -> AirPageView:
        bay = self._selection.bay
        with suppress(StoreProblem):  # then the page says that it does not know all
            while bay.recall_left():
                pass
        place = self._selection.place
        apart = bay.sensors.contradictions_at(place)
        return air_page(bay.state, bay.now(), self._selection.tz, apart, whole=bay.knows_left, place=place)

    def _refresh(self) -> None:
        if self._page and self._pages.standing is self._page:
            self._page.show_air(self._view())

    def readings(self, skipped: int = 0) -> None:
        """Ask which reading is wrong, skipping this many of the latest ones."""
        view = air_readings(self._selection.bay.state, self._selection.bay.now(), self._selection.tz, skipped)
        entries: list[Entry[AirRead | Rest]] = [
            Entry(row.reading, row.title, row.detail, glyph="air") for row in view.rows
        ]
        if view.earlier:
            count = ngettext("{n} more", "{n} more", view.earlier).format(n=view.earlier)
            entries.append(Entry(Rest(skipped + len(view.rows)), _("Earlier readings"), count, glyph="clock"))
        self._show(view.title, view.subtitle, entries, self._reading_chosen, ())

    def _reading_chosen(self, key: AirRead | Rest) -> None:
        if isinstance(key, Rest):
            self.readings(key.first)
        else:
            self._pages.want(CorrectReading(key))

    def _say_all(self) -> None:
        view = self._view()
        entries = [Entry("air", _("Back to the air"))]
        self._show(_("Cautions"), view.vapour_label, entries, lambda _key: self.open(), view.cautions)
