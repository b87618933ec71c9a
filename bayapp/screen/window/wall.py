"""The wall window: makes the parts of the board, connects them, and lays them out."""

from datetime import timedelta, tzinfo

from PySide6.QtCore import QElapsedTimer, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from bayapp.bay import Bay
from bayapp.job.model.ids import Person
from bayapp.pages.input.foot_switch import KeyHolds
from bayapp.pages.selection import Selection
from bayapp.screen.board.alert_band import AlertBand
from bayapp.screen.board.car_view import CarView
from bayapp.screen.board.clock_column import ClockColumn
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.board.ladder import LadderPage
from bayapp.screen.board.ladder_bar import LadderBar
from bayapp.screen.board.next_step import NextBar
from bayapp.screen.board.refresher import BoardParts, Refresher
from bayapp.screen.board.strip import StripBar
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.frame.sound import Voice
from bayapp.screen.widgets.keys import is_press, key_name
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import BoardLayout, Measure, board_layout, fitted
from bayapp.screen.widgets.mirror import place
from bayapp.screen.widgets.relayout import relayout
from bayapp.screen.window.board_controller import BoardController
from bayapp.screen.window.ladder_controller import LadderController
from bayapp.screen.window.lost_touches import LostTouches
from bayapp.screen.window.store_watch import StoreLook
from bayapp.screen.window.time_zone_watch import TimeZoneWatch, ZoneNow


class Wall(QWidget):
    """The board and the pages that open in its place.

    Attributes:
        selection: who works at which car.
        ladder: the page of a ladder.
        pages: what is shown in the car's place.
        request_sender: the way of a request to the door.
        refresher: keeps the board up to date.
        voice: sounds the alerts.
        store_look: looks whether the store is still the one that was opened.
        lost_touches: says of a touch that nothing takes that it was not taken.
        real: the measure of this screen, before it is fitted to the window.

    Signals:
        stands: the board has been painted for the first time.
        closing: the window is being closed.
    """

    stands = Signal()
    closing = Signal()

    def __init__(
        self,
        bay: Bay,
        look: Look,
        tz: tzinfo,
        by: Person | None = None,
        zone_now: ZoneNow | None = None,
        *,
        asks_who: bool = False,
    ) -> None:
        """``asks_who``: the first touch of a day that is to be signed asks who stands at the car."""
        super().__init__()
        self.look, self.real = look, look.measure
        self._bar_end = 0.0
        self.voice, self.drawings = Voice(), Drawings()
        self.selection = Selection(bay, tz, by)
        self.strip, self.car, self.band = StripBar(look, self), CarView(look, self), AlertBand(look, self)
        self.column, self.next_bar = ClockColumn(look, self), NextBar(look, self)
        self.ladder = LadderPage(look, self)
        self.pages = PageStack(self, look, self.selection, self.ladder)
        self.ladder_bar = LadderBar(look, self)
        self._asks_who = asks_who
        self.request_sender = RequestSender(bay, self.pages, self._is_said_who_stands)
        parts = BoardParts(self.strip, self.car, self.band, self.column, self.next_bar)
        self.refresher = Refresher(parts, self.selection, self.drawings, self.voice, self)
        self.time_zone_watch = TimeZoneWatch(bay, self.selection, zone_now, self)
        self.store_look = StoreLook(self.selection, self.pages)
        self.lost_touches = LostTouches(self, look, self.pages, self.car, self.voice)
        self._join(parts)
        self._first = QTimer(self)  # a child: it cannot fire when the window is gone
        self._first.setSingleShot(True)
        self._first.timeout.connect(self.stands)
        self._painted = False
        self._keys, self._since = KeyHolds(), QElapsedTimer()
        self._since.start()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def _join(self, parts: BoardParts) -> None:
        chosen, pages, refresher = self.selection, self.pages, self.refresher
        self.ladder.closed.connect(pages.show_board)
        pages.turned.connect(self._arrange)
        pages.stale.connect(refresher.refresh)
        self.request_sender.answered.connect(refresher.refresh)
        self.store_look.changed.connect(refresher.refresh)
        self.strip.store_wanted.connect(self.store_look.tell_on_touch)
        self.band.undo_wanted.connect(self.request_sender.send_or_show_refusal)
        self._touches = BoardController(parts, chosen, pages, self.request_sender, refresher)
        ladder = LadderController(self.ladder, self.ladder_bar, chosen, pages, self.request_sender, refresher)
        self.next_bar.taken.connect(ladder.take)
        refresher.band_turned.connect(self._lay_out)
        self._arrange()

    @property
    def layout_mm(self) -> BoardLayout:
        """The layout of the parts, in millimetres."""
        measure = self.look.measure
        width, height = self.width() / measure.px_per_mm, self.height() / measure.px_per_mm
        return board_layout(width, height, self._bar_end, self.band.shows_alerts)

    def _is_said_who_stands(self) -> bool:
        """Whether nobody is to be asked: on a locked glass, worked by a foot switch, no answer could be given."""
        return not self._asks_who or self._bar_end > 0 or self.selection.somebody_said_today()

    def keep_bar_end_free(self, mm: float) -> None:
        """Leave this much of the bar free at its end, where the sign of a locked glass stands."""
        self._bar_end = mm
        relayout(self)

    def measure_by(self, measure: Measure) -> None:
        """Use this measure from now on."""
        self.real = measure
        relayout(self)

    def press_main(self) -> None:
        """Press the large button at the bottom."""
        (self.ladder_bar if self.ladder_bar.isVisibleTo(self) else self.next_bar).main.click()

    def theme_changed(self) -> None:
        """Repaint everything in the present palette."""
        self.car.theme_changed()
        self.update()
        for child in self.findChildren(QWidget):
            child.update()
        self.refresher.refresh()

    def _arrange(self) -> None:
        """Show what is in the car's place, and the bar that belongs to it."""
        on_ladder = self.pages.standing is self.ladder
        self.car.setVisible(self.pages.standing is None)
        self.ladder_bar.setVisible(on_ladder)
        self.next_bar.setVisible(not on_ladder)
        self._lay_out()

    def _lay_out(self) -> None:
        plan, measure = self.layout_mm, self.look.measure
        for part, rect in (
            (self.strip, plan.strip),
            (self.car, plan.car),
            (self.band, plan.legend),
            (self.column, plan.column),
            (self.next_bar, plan.bar),
            (self.ladder_bar, plan.bar),
        ):
            place(part, measure.rect(rect))
        for page in self.pages.pages:
            place(page, measure.rect(plan.page))
        free = not plan.page.intersects(plan.legend)
        self.band.setVisible(self.pages.standing is None or free)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let a foot switch or nearly any key press the large button; Escape goes back."""
        if not is_press(event):
            return
        if event.key() == Qt.Key.Key_Escape:
            self.pages.back()
        elif self._keys.begins(key_name(event), self._since_start()):
            self.press_main()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if not event.isAutoRepeat():
            self._keys.lifts(key_name(event), self._since_start())

    def _since_start(self) -> timedelta:
        return timedelta(milliseconds=self._since.elapsed())

    def showEvent(self, event: QShowEvent) -> None:
        self.lost_touches.watch(self.windowHandle())
        super().showEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.look.measure_by(fitted(self.real, self.width(), self.height()))
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(self.look.palette.board))
        if not self._painted:
            self._painted = True
            self._first.start(0)  # once the parts have been painted, too

    def closeEvent(self, event: QCloseEvent) -> None:
        self.refresher.stop()
        self.time_zone_watch.stop()
        self.store_look.stop()
        self.closing.emit()
        super().closeEvent(event)
