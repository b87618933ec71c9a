"""Updates the board: at every whole second, at every exact moment of a clock, after every touch."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from bayapp.job import ZoneClock
from bayapp.job.model.ids import JobId
from bayapp.pages.board.board import BoardView, board
from bayapp.pages.selection import Selection
from bayapp.screen.board.alert_band import AlertBand
from bayapp.screen.board.car_view import CarView
from bayapp.screen.board.clock_column import ClockColumn
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.board.next_step import NextBar
from bayapp.screen.board.strip import StripBar
from bayapp.screen.frame.sound import Voice
from bayapp.text.language import _

LEAST_MS = 15
AGAIN_MS = 1_000
LEAST_TICK = timedelta(milliseconds=250)
SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class BoardParts:
    """The parts of the board, each of which shows its part of the view."""

    strip: StripBar
    car: CarView
    band: AlertBand
    column: ClockColumn
    next_bar: NextBar


class Refresher(QObject):
    """Shows the board as it is now, sounds what is due, and wakes for the next exact moment.

    Signals:
        refreshed: the board is up to date; carries the instant that it shows.
        band_turned: alerts came or went.
    """

    refreshed = Signal(object)
    band_turned = Signal()

    def __init__(
        self, parts: BoardParts, selection: Selection, drawings: Drawings, voice: Voice, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._parts, self._selection, self._drawings, self._voice = parts, selection, drawings, voice
        self._bay = selection.bay
        self._drawn: JobId | None = None
        self._stopped = False
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.setTimerType(Qt.TimerType.PreciseTimer)
        self._next.timeout.connect(self.refresh)
        self._costs = QTimer(self)
        self._costs.setSingleShot(True)
        self._costs.timeout.connect(self._one_cost)
        self.show_drawing()

    @property
    def waking(self) -> bool:
        """Whether its timer runs."""
        return self._next.isActive()

    def stop(self) -> None:
        """Stop the timer: the window has been closed."""
        self._stopped = True
        self._next.stop()
        self._costs.stop()

    def refresh(self) -> None:
        """Update every part, sound what is due, and set the timer for the next exact moment."""
        if not self._stopped:
            self._next.start(AGAIN_MS)  # should a fault of ours end this early, the clocks go on all the same
        bay, chosen = self._bay, self._selection
        at = bay.now()
        clocks = bay.clocks(at)
        if call := bay.alerts.update(at, clocks, can_sound=self._voice.sound is not None):
            self._voice.call(call)
        if chosen.job != self._drawn:
            self.show_drawing()
        self._show(board(bay, clocks, chosen.seen_at(at)))
        self.refreshed.emit(at)
        self._set_timer(at, clocks)
        if bay.advice.costs.owing and not self._stopped:
            self._costs.start(0)  # once what is known has been painted

    def tell_costs(self) -> None:
        """Work out what the steps on the buttons would shut out, and show it."""
        self._bay.advice.costs.work_out(self._bay.now())
        self.refresh()

    def _one_cost(self) -> None:
        """Work out one of them: a touch that comes between is not kept waiting for all."""
        if self._stopped:
            return
        if self._bay.advice.costs.work_out_one(self._bay.now()):
            self._costs.start(0)
        else:
            self.refresh()

    def show_drawing(self) -> None:
        """Show the drawing of the chosen car."""
        self._drawn = self._selection.job
        jobs = [state.job for state in self._bay.state.open_jobs]
        self._parts.car.show_car(self._drawings.of(self._drawn, jobs))

    def _show(self, view: BoardView) -> None:
        parts = self._parts
        parts.strip.show_strip(view.strip, self._voice.broken)
        if parts.band.show_band(view.band):
            self.band_turned.emit()
        parts.column.show_tiles(view.tiles, _("No clock is running."))
        parts.next_bar.show_offers(view.main, view.instead, view.order)
        if not parts.car.isHidden():
            flagged = any(face.next_up for face in view.faces.values())
            parts.car.show_place(view.place)
            parts.car.show_faces(view.faces, view.main.short if flagged else "")

    def _set_timer(self, at: datetime, clocks: tuple[ZoneClock, ...]) -> None:
        """Set the timer for the next whole second, or sooner if a clock changes or an alert is due.

        Fast practice time skips seconds: the digits change at most four times per real second.
        """
        if self._stopped:
            return
        fast = LEAST_TICK * self._bay.speed
        second = at + fast if fast > SECOND else at.replace(microsecond=0) + SECOND
        moment = self._bay.alerts.next_moment(at, clocks)
        due = min(second, moment) if moment else second
        wait = (due - at) / timedelta(milliseconds=1) / self._bay.speed
        self._next.start(max(LEAST_MS, round(wait + 0.5)))
