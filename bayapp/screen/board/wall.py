"""The wall window: joins the parts of the board, passes touches to the door, repaints what changed."""

from collections.abc import Callable
from datetime import datetime, timedelta, tzinfo

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.bay import Bay
from bayapp.job import FinishStep, Refusal, Request, Start, TakeUp, Verdict, WriteNote, ZoneClock
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.pages.board.board import board
from bayapp.pages.board.clock_column import Tile
from bayapp.pages.board.ladder import LadderView, ladder
from bayapp.pages.board.next_step import Offer
from bayapp.screen.board.alert_band import AlertBand
from bayapp.screen.board.car_view import CarView
from bayapp.screen.board.clock_column import ClockColumn
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.board.ladder import LadderPage
from bayapp.screen.board.ladder_bar import LadderBar
from bayapp.screen.board.next_step import NextBar
from bayapp.screen.board.sound import Sound
from bayapp.screen.board.strip import StripBar
from bayapp.screen.widgets.choice_page import ChoicePage
from bayapp.screen.widgets.entry_page import HeadedPage
from bayapp.screen.widgets.keys import is_press
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import board_layout, fitted
from bayapp.screen.widgets.mirror import place
from bayapp.text.language import _

SNOOZE = timedelta(minutes=5)
WATCH_MS = 5_000
LEAST_MS = 15
AGAIN_MS = 1_000
LEAST_TICK = timedelta(milliseconds=250)
SECOND = timedelta(seconds=1)


class Wall(QWidget):
    """The board and what opens in its place.

    Signals:
        page_wanted: a choice page was asked for, by name, with what it is about.
        accepted: a request was accepted and is on disk; carries the Verdict.
        refreshed: every part is in line with the clocks again.
        stands: the board has been painted for the first time.
        closing: the window is being closed.
    """

    page_wanted = Signal(str, object)
    accepted = Signal(object)
    refreshed = Signal()
    stands = Signal()
    closing = Signal()

    def __init__(
        self,
        bay: Bay,
        look: Look,
        tz: tzinfo,
        by: Person | None = None,
        time_zone_now: Callable[[], tzinfo] | None = None,
    ) -> None:
        super().__init__()
        self._time_zone_now = time_zone_now
        self.bay, self.look, self.tz = bay, look, tz
        self.by = by
        self.real, self.bar_end = look.measure, 0.0  # before it is fitted; mm that the bar leaves free at its end
        self.sound: Sound | None = None
        self.job: JobId | None = None
        self.zones: tuple[ZoneId, ...] = ()
        self._step: StepId | None = None
        self.drawings = Drawings()
        self._pages: list[QWidget] = []
        self._below: QWidget | None = None  # what the choice page was opened from
        self._make_parts()
        self._second = QTimer(self)
        self._second.setSingleShot(True)
        self._second.setTimerType(Qt.TimerType.PreciseTimer)
        self._second.timeout.connect(self.refresh)
        self._watch = QTimer(self)
        self._watch.setInterval(WATCH_MS)
        self._watch.timeout.connect(self.watch)
        self._watch.start()
        self._first = QTimer(self)  # a child: it cannot fire when the window is gone
        self._first.setSingleShot(True)
        self._first.timeout.connect(self.stands)
        self._painted = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.show_first_job()

    def _make_parts(self) -> None:
        look = self.look
        self.strip, self.car, self.band = StripBar(look, self), CarView(look, self), AlertBand(look, self)
        self.column, self.next_bar = ClockColumn(look, self), NextBar(look, self)
        self.ladder_page, self.ladder_bar = LadderPage(look, self), LadderBar(look, self)
        self.choices = ChoicePage(look, self)
        self._pages += [self.ladder_page, self.choices]
        self.strip.air_wanted.connect(lambda: self.page_wanted.emit("air-touched", None))
        self.strip.cars_wanted.connect(lambda: self.page_wanted.emit("cars", None))
        self.strip.bay_chosen.connect(lambda job: self.show_job(JobId(job)))
        self.strip.all_bays_wanted.connect(lambda: self.page_wanted.emit("bays", None))
        self.strip.person_chosen.connect(self.choose_person)
        self.strip.more_people_wanted.connect(lambda: self.page_wanted.emit("people", None))
        self.strip.sound_wanted.connect(lambda: self.page_wanted.emit("sound", None))
        self.strip.clock_wanted.connect(lambda notice: self.page_wanted.emit("clock", notice))
        self.car.touched.connect(self._touch_zones)
        self.band.heard.connect(lambda subjects: self._then_refresh(self.bay.alerts.acknowledge, subjects))
        self.band.snoozed.connect(lambda subjects: self._then_refresh(self.bay.alerts.snooze, subjects, SNOOZE))
        self.column.opened.connect(self._open_tile)
        self.next_bar.taken.connect(self._take)
        self.next_bar.more_wanted.connect(lambda: self.page_wanted.emit("more", None))
        self.ladder_page.closed.connect(self.show_board)
        self.ladder_page.group_chosen.connect(lambda zones: self.show_ladder(self.job, zones))
        self.ladder_page.step_chosen.connect(self._choose_step)
        self.ladder_bar.pressed.connect(self._press_ladder)
        self.ladder_bar.deviation_wanted.connect(lambda action: self.page_wanted.emit("reason", action))
        self.ladder_bar.undo_wanted.connect(self.ask_or_say)
        self.ladder_bar.correct_wanted.connect(lambda zones: self.page_wanted.emit("correct", zones))
        self.ladder_bar.aside_wanted.connect(lambda zones: self.page_wanted.emit("aside", zones))
        self.ladder_bar.note_wanted.connect(lambda: self.page_wanted.emit("note", self.zones))
        self.choices.closed.connect(self.back)
        self._open(None)

    # What stands in the board's place.

    def show_first_job(self) -> None:
        """Show the first car in the bay, or none."""
        inside = self.bay.state.open_jobs
        self.job = inside[0].job.id if inside else None
        self.agree_person()
        self._show_drawing()

    def show_job(self, job: JobId) -> None:
        """Show this car."""
        self.job = job
        self.agree_person()
        self._show_drawing()
        self.show_board()

    def show_board(self) -> None:
        """Go back to the car."""
        self.zones, self._step = (), None
        self._open(None)
        self.refresh()

    def show_ladder(self, job: JobId | None, zones: tuple[ZoneId, ...]) -> None:
        """Open the ladder of these zones."""
        if job is None:
            return
        if job != self.job:
            self.job = job
            self.agree_person()
            self._show_drawing()
        self.zones = tuple(zones)
        self._open(self.ladder_page)
        self.refresh()

    def show_choices(self) -> None:
        """Let the choice page stand where the car is; what it says has been set before."""
        if not self.choices.isVisibleTo(self):
            pages = (p for p in self._pages if p is not self.ladder_page and p.isVisibleTo(self))
            self._below = next(pages, None)
        self._open(self.choices)

    def add_page(self, page: HeadedPage) -> None:
        """Keep a page that can be shown where the car is."""
        self._pages.append(page)
        page.hide()
        page.closed.connect(self.back)
        self._lay_out()

    def show_page(self, page: HeadedPage) -> None:
        """Let a page that was added stand where the car is; what it says has been set before."""
        self._open(page)

    def back(self) -> None:
        """Leave the page that is open: to the page or ladder that it came from, else to the board."""
        if self._below is not None and self.choices.isVisibleTo(self):
            below, self._below = self._below, None
            self._open(below)
            return
        if self.zones and not self.ladder_page.isVisibleTo(self):
            self.show_ladder(self.job, self.zones)
        else:
            self.show_board()

    def _open(self, page: QWidget | None) -> None:
        self.car.setVisible(page is None)
        for known in self._pages:
            known.setVisible(page is known)
        self.ladder_bar.setVisible(page is self.ladder_page)
        self.next_bar.setVisible(page is not self.ladder_page)
        self._lay_out()

    def _show_drawing(self) -> None:
        self.car.show_car(self.drawings.of(self.job, [state.job for state in self.bay.state.open_jobs]))

    def agree_person(self) -> None:
        """Whoever stands at the car is one of its crew; with nobody chosen, the first."""
        crew = self.bay.state.jobs[self.job].job.crew if self.job else ()
        if crew and self.by not in crew:
            self.by = crew[0]

    # Touches.

    def ask(self, request: Request) -> Verdict:
        """Pass a request to the door; when it is accepted it is on disk, and only then is it shown."""
        verdict = self.bay.request(request)
        if verdict.accepted:
            self.accepted.emit(verdict)
        self.refresh()
        return verdict

    def ask_or_say(self, request: Request) -> bool:
        """Pass a request to the door; where it is refused, say why on a page of its own."""
        verdict = self.ask(request)
        if verdict.refusal:
            self.page_wanted.emit("refused", verdict.refusal)
        return verdict.accepted

    def _take(self, offer: Offer) -> None:
        action = offer.action
        if action is None:
            return
        if isinstance(action, Start) and self._may_swap(action):
            self.show_ladder(action.job, action.zones)
        elif refusal := self.ask(action).refusal:
            self.show_ladder(action.job, action.zones)
            self._say_unless_shown(action, refusal)

    def _may_swap(self, action: Start) -> bool:
        """Whether a person must first say which of several steps it will be."""
        recipe = self.bay.state.jobs[action.job].job.recipe_of(action.zones[0])
        done = {run.step for run in self.bay.state.jobs[action.job].zones[action.zones[0]].rungs}
        group = recipe.group_of(recipe.position(action.step))
        return sum(recipe.step[p].id not in done for p in group) > 1

    def _touch_zones(self, zones: list[ZoneId]) -> None:
        assert self.job
        worked = [z for z in zones if z in self.bay.state.jobs[self.job].zones]
        if len(worked) > 1:
            self.page_wanted.emit("zones", tuple(worked))
        elif worked:
            self.show_ladder(self.job, (worked[0],))

    def _open_tile(self, tile: Tile) -> None:
        self._step = None
        self.show_ladder(tile.job, tile.zones)

    def choose_person(self, name: str) -> None:
        """Say who stands at the car."""
        self.by = Person(name)
        self.refresh()

    def _choose_step(self, step: str) -> None:
        self._step = StepId(step)
        self.refresh()

    def _ladder(self, at: datetime) -> LadderView:
        """Return the ladder of the open zones as it stands at an instant."""
        assert self.job
        return ladder(self.bay, self.job, self.zones, self.by, self._step, at, self.tz)

    def _press_ladder(self, action: Start | FinishStep | TakeUp) -> None:
        """Ask for what the button showed; what has become untrue since then is refused in words."""
        refusal = self.ask(action).refusal
        if refusal:
            self._say_unless_shown(action, refusal)
        elif isinstance(action, FinishStep):
            self.show_board()

    def _say_unless_shown(self, action: Start | FinishStep | TakeUp, refusal: Refusal) -> None:
        """Say why a touch was refused, unless the ladder, repainted by now, says it on its button."""
        if not self.ladder_bar.says_why_not(action):
            self.page_wanted.emit("refused", refusal)

    def note(self, text: str) -> bool:
        """Write a note about the open zones, or about the car; return whether it was taken, for all or for none."""
        assert self.job
        return self.ask_or_say(WriteNote(self.job, text, self.zones, self.by))

    def _then_refresh(self, act: Callable[..., None], *told: object) -> None:
        act(*told)
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A foot switch or nearly any key presses the big button; Escape goes back."""
        if is_press(event):
            (self.back if event.key() == Qt.Key.Key_Escape else self.press_main)()

    def press_main(self) -> None:
        """Press the large button that stands at the bottom now."""
        (self.ladder_bar if self.ladder_bar.isVisibleTo(self) else self.next_bar).main.click()

    def watch(self) -> None:
        """See whether the machine's clock or time zone was moved: the times shown follow the zone, no wait does."""
        try:
            became = self._time_zone_now() if self._time_zone_now else self.tz
        except (LookupError, OSError, ValueError):  # the machine names a zone that there is no data of
            became = self.tz
        if _differ(became, self.tz, self.bay.now()):
            self.bay.clock_watch.time_zone_changed(str(self.tz), str(became))
            self.tz = became
        self.bay.clock_watch.watch()

    # Repainting.

    def refresh(self) -> None:
        """Bring every part in line with the clocks now, sound what is due, and set the next exact moment."""
        if self._watch.isActive():
            self._second.start(AGAIN_MS)  # should a fault of ours end this early, the clocks go on all the same
        at = self.bay.now()
        clocks = self.bay.clocks(at)
        call = self.bay.alerts.update(at, clocks, can_sound=self.sound is not None)
        if call and self.sound:
            self.sound.call(call)
        view = board(self.bay, self.job, self.by, clocks, at, self.tz)
        self.strip.show_strip(view.strip, self.sound is None or self.sound.works())
        if self.band.show_band(view.band):
            self._lay_out()  # the band takes room from an open page, and gives it back
        self.column.show_tiles(view.tiles, _("No clock is running."))
        assert view.main
        self.next_bar.show_offers(view.main, view.instead, view.order)
        if self.car.isVisibleTo(self):
            flagged = any(face.next_up for face in view.faces.values())
            self.car.show_faces(view.faces, view.main.short if flagged else "")
        if self.ladder_page.isVisibleTo(self) and self.job:
            shown = self._ladder(at)
            self.ladder_page.show_ladder(shown)
            self.ladder_bar.show_ladder(shown)
        self.refreshed.emit()
        self._set_timer(at, clocks)

    def _set_timer(self, at: datetime, clocks: tuple[ZoneClock, ...]) -> None:
        """Wake at the next whole second, or sooner where a clock changes or something must be sounded.

        Fast practice time skips seconds: the digits change four times a real second at most.
        """
        if not self._watch.isActive():
            return  # the window has been closed
        fast = LEAST_TICK * self.bay.speed
        second = at + fast if fast > SECOND else at.replace(microsecond=0) + SECOND
        moment = self.bay.alerts.next_moment(at, clocks)
        due = min(second, moment) if moment else second
        wait = (due - at) / timedelta(milliseconds=1) / self.bay.speed
        self._second.start(max(LEAST_MS, round(wait + 0.5)))

    def theme_changed(self) -> None:
        """Repaint everything in the palette that is set now."""
        self.car.theme_changed()
        self.update()
        for child in self.findChildren(QWidget):
            child.update()
        self.refresh()

    def _lay_out(self) -> None:
        measure = self.look.measure
        plan = board_layout(self.width() / measure.px_per_mm, self.height() / measure.px_per_mm, self.bar_end)
        for part, rect in (
            (self.strip, plan.strip),
            (self.car, plan.car),
            (self.band, plan.legend),
            (self.column, plan.column),
            (self.next_bar, plan.bar),
            (self.ladder_bar, plan.bar),
        ):
            place(part, measure.rect(rect))
        open_page = plan.page if not self.bay.alerts.unanswered() else plan.car
        for page in self._pages:
            place(page, measure.rect(open_page))
        self.band.setVisible(self.car.isVisibleTo(self) or bool(self.bay.alerts.unanswered()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.look.measure = fitted(self.real, self.width(), self.height())
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(self.look.palette.board))
        if not self._painted:
            self._painted = True
            self._first.start(0)  # once the parts have been painted, too

    def closeEvent(self, event: QCloseEvent) -> None:
        self._second.stop()
        self._watch.stop()
        self.closing.emit()
        super().closeEvent(event)


def _differ(one: tzinfo, other: tzinfo, at: datetime) -> bool:
    """Whether two time zones have other names, or other offsets now: where a machine names none, only these tell."""
    return str(one) != str(other) or at.astimezone(one).utcoffset() != at.astimezone(other).utcoffset()
