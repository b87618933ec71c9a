"""Handles touches on the parts of the board: choosing a car, a zone, a person or a page, and answering alerts."""

from collections.abc import Callable, Collection
from datetime import timedelta

from PySide6.QtCore import QObject

from bayapp.job.model.ids import Person, ZoneId
from bayapp.pages.board.clock_column import Tile
from bayapp.pages.board.people import joining
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page, ShowClockNotice, UnworkedZone, WhereStands, WhichZone
from bayapp.screen.board.refresher import BoardParts, Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender

SNOOZE = timedelta(minutes=5)


class BoardController(QObject):
    """Joins the parts of the board, the selection and the pages."""

    def __init__(
        self,
        parts: BoardParts,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender, self._refresher = selection, pages, sender, refresher
        self._join_strip(parts)
        bay = selection.bay
        parts.car.touched.connect(self.touch_zones)
        parts.car.moving.connect(self.ask_where)
        parts.band.heard.connect(self.hear)
        parts.band.snoozed.connect(lambda subjects: self._then_refresh(lambda: bay.alerts.snooze(subjects, SNOOZE)))
        parts.column.opened.connect(self.open_tile)
        parts.next_bar.more_wanted.connect(lambda: pages.want(Page.MORE))

    def _join_strip(self, parts: BoardParts) -> None:
        strip, pages = parts.strip, self._pages
        strip.air_wanted.connect(lambda: pages.want(Page.AIR_TOUCHED))
        strip.cars_wanted.connect(lambda: pages.want(Page.CARS))
        strip.bay_chosen.connect(pages.show_car)
        strip.all_bays_wanted.connect(lambda: pages.want(Page.BAYS))
        strip.person_chosen.connect(self.choose_person)
        strip.more_people_wanted.connect(lambda: pages.want(Page.PEOPLE))
        strip.sound_wanted.connect(lambda: pages.want(Page.SOUND))
        strip.clock_wanted.connect(lambda notice: pages.want(ShowClockNotice(notice)))

    def touch_zones(self, zones: list[ZoneId]) -> None:
        """Open the ladder of the touched zone; ask which, where several lie under one glove; offer a note on others."""
        car = self._selection.car
        if car is None:
            return
        worked = tuple(z for z in zones if z in car.zones)
        if len(worked) > 1:
            self._pages.want(WhichZone(car.job.id, worked))
        elif worked:
            self._pages.show_ladder(car.job.id, worked)
        elif zones and zones[0] in car.job.zone_names:
            self._pages.want(UnworkedZone(car.job.id, zones[0]))

    def ask_where(self) -> None:
        """Ask where the shown car stands from now on."""
        if self._selection.job:
            self._pages.want(WhereStands(self._selection.job))

    def open_tile(self, tile: Tile) -> None:
        """Open the ladder of a clock's zones."""
        self._selection.choose_step(None)
        self._pages.show_ladder(tile.job, tile.zones)

    def choose_person(self, person: Person) -> None:
        """Choose who works at the car; who worked only on others until now joins its crew."""
        car = self._selection.car
        asked = joining(car.job, person) if car else None
        if asked is None or self._sender.send_or_show_refusal(asked):
            self._selection.choose_person(person)
        self._refresher.refresh()

    def hear(self, subjects: Collection[str]) -> None:
        """Record that somebody has heard these alerts."""
        self._then_refresh(lambda: self._selection.bay.alerts.acknowledge(subjects))

    def _then_refresh(self, act: Callable[[], None]) -> None:
        act()
        self._refresher.refresh()
