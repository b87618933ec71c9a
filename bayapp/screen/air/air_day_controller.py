"""Opens the air page and keeps it in line with the bay. Joins the page and the door; loads it when first wanted."""

from collections.abc import Hashable
from contextlib import suppress
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.job.gate.air_rules import READING_HOLDS
from bayapp.pages.air.air_day import AirPageView, air_page
from bayapp.pages.air.air_readings import air_readings
from bayapp.record import StoreProblem
from bayapp.screen.board.wall import Wall
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _, ngettext

if TYPE_CHECKING:
    from bayapp.screen.air.air_day import AirPage


class AirDayController(QObject):
    """Shows whether it is fit to coat; ``show`` fills the choice page and lets it stand."""

    def __init__(self, wall: Wall, show: Show) -> None:
        super().__init__(wall)
        self._wall, self._show = wall, show
        self._page: AirPage | None = None
        wall.refreshed.connect(self._refresh)

    def touched(self, about: object = None) -> None:
        """The air in the strip was touched: where it asks for a reading, let one be typed at once."""
        air = self._wall.bay.state.air
        if air is None or self._wall.bay.now() - air.measured_at > READING_HOLDS:
            self._wall.page_wanted.emit("air", None)
        else:
            self.open()

    def open(self, about: object = None) -> None:
        """Let the page stand where the car is."""
        page = self._page or self._make()
        self._wall.show_page(page)
        page.lay_out()
        page.show_air(self._view())

    def _make(self) -> "AirPage":
        from bayapp.screen.air.air_day import AirPage  # noqa: PLC0415 (pyqtgraph loads when the page is first looked at)

        page = self._page = AirPage(self._wall.look, self._wall)
        page.reading_wanted.connect(lambda: self._wall.page_wanted.emit("air", "air-day"))
        page.correction_wanted.connect(self.readings)
        page.cautions_wanted.connect(self._say_all)
        self._wall.add_page(page)
        return page

    def _view(self) -> AirPageView:
        bay = self._wall.bay
        with suppress(StoreProblem):  # then the page says that it does not know all
            while bay.recall_left():
                pass
        return air_page(bay.state, bay.now(), self._wall.tz, bay.sensors.contradictions, whole=bay.knows_left)

    def _refresh(self) -> None:
        if self._page and self._page.isVisibleTo(self._wall):
            self._page.show_air(self._view())

    def readings(self, about: object = None) -> None:
        """Ask which reading is wrong; ``about`` is how many of the last ones to pass over."""
        skipped = about if isinstance(about, int) else 0
        view = air_readings(self._wall.bay.state, self._wall.bay.now(), self._wall.tz, skipped)
        entries = [Entry(row.reading, row.title, row.detail, glyph="air") for row in view.rows]
        if view.earlier:
            told = ngettext("{n} more", "{n} more", view.earlier).format(n=view.earlier)
            entries.append(Entry(skipped + len(view.rows), _("Earlier readings"), told, glyph="clock"))
        self._show(view.title, view.subtitle, entries, self._reading_chosen, ())

    def _reading_chosen(self, key: Hashable) -> None:
        if isinstance(key, int):
            self.readings(key)
        else:
            self._wall.page_wanted.emit("air", key)

    def _say_all(self) -> None:
        view = self._view()
        entries = [Entry("air", _("Back to the air"))]
        self._show(_("Cautions"), view.vapour_label, entries, self.open, view.cautions)
