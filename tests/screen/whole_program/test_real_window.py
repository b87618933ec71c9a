"""The program in a real window of an X server: fingers tap, the journal is read beside it, the screen is watched."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from math import hypot
from pathlib import Path
from time import perf_counter

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, QSize

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.palette import DARK
from bayapp.files.library import Library
from bayapp.job import Event
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.events import BaySetUp, JobOpened, StepFinished, StepStarted
from bayapp.pages.board.phrases import reasons
from bayapp.paths import resource
from bayapp.record import StoreProblem, open_journal
from bayapp.screen.board.car_view import CarView
from bayapp.screen.widgets.choice_page import ChoicePage, Entry
from bayapp.screen.widgets.glove_button import SETTLE_MS
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import Measure, board_layout, fitted
from tests.screen.walls import Walled
from tests.screen.whole_program.display import PROGRAMS_ARE_HERE, SIZE, Display, Picture, display, until

pytestmark = pytest.mark.skipif(not PROGRAMS_ARE_HERE, reason="needs Xvfb and xdotool")

AT_THE_START = 2
"""Entries of a new store: how the shop is set up, and the car that is opened."""
ROOT = Path(__file__).parents[3]
JOB = resource("practice", "practice-job.toml")
MILLIMETRES = (508, 286)  # 1920 by 1080 at the 96 dots per inch that Xvfb reports
TOUCHES, TAKEN_S = 3, 5.0
MUCH = 0.02
REFUSED = ZoneId("cabin")  # waits for all of the outside


class Places:
    """Where things stand on the board, from the layout and not from a look at it."""

    def __init__(self) -> None:
        measure = fitted(Measure(hypot(*SIZE) / hypot(*MILLIMETRES)), *SIZE)
        plan = board_layout(SIZE[0] / measure.px_per_mm, SIZE[1] / measure.px_per_mm)
        self.look = Look(DARK, measure)
        self.strip, self.car, self.page, self.bar = (
            measure.rect(rect).toRect() for rect in (plan.strip, plan.car, plan.page, plan.bar)
        )
        self.main = QRect(self.bar.topLeft(), QSize(self.bar.width() // 2, self.bar.height()))

    def zone(self, zone: ZoneId) -> QPoint:
        """Return a point inside a zone of the practice car."""
        view = CarView(self.look)
        view.resize(self.car.size())
        view.show_car(FormDrawing.load(Library().load_job(JOB).vehicle, resource("vehicles")))
        view.deleteLater()
        return self.car.topLeft() + view.zone_centre(zone).toPoint()

    def reason(self, number: int) -> QPoint:
        """Return the middle of a button on the page that asks why."""
        return self.choice(len(reasons()), number)

    def choice(self, count: int, number: int) -> QPoint:
        """Return the middle of one of so many choices."""
        page = ChoicePage(self.look)
        page.resize(self.page.size())
        page.show_choices("", "", [Entry(n, str(n)) for n in range(count)])
        page.deleteLater()
        return self.page.topLeft() + page.buttons[number].geometry().center()

    @property
    def somebody(self) -> QPoint:
        """Return the middle of the first name on the page that asks who stands at the car."""
        return self.choice(len(Library().load_job(JOB).crew), 0)

    @property
    def more(self) -> QPoint:
        """Return the middle of the last button of the bar."""
        return self.bar.center() + QPoint(self.bar.width() // 2 - round(self.look.mm(22)), 0)

    @property
    def sign(self) -> QPoint:
        """Return a place on the sign of a locked glass."""
        return self.bar.center() + QPoint(self.bar.width() // 2 - round(self.look.mm(40)), 0)


class Running:
    """The program on its display, and a second pair of eyes on its store."""

    def __init__(self, process: "subprocess.Popen[str]", shown: Display, store: Path) -> None:
        self.process, self.shown, self.store = process, shown, store

    def events(self) -> list[Event]:
        """Read the journal by a connection of its own, as it is on disk now."""
        try:
            journal = open_journal(self.store, write=False)
        except StoreProblem:
            return []  # the program has not made it yet
        try:
            return journal.read()
        finally:
            journal.close()

    def new_events(self, known: int) -> list[Event]:
        """Wait for more entries than these; return them."""
        return until(lambda: self.events()[known:] or None, "an entry in the journal")

    def touched(self, where: QPoint, known: int) -> list[Event]:
        """Touch until it is taken, and return the entries that it made.

        A button whose words have just changed ignores a touch, and a new plan may change them at any moment.
        """
        for _ in range(TOUCHES):
            self.shown.tap(where)
            end = perf_counter() + TAKEN_S
            while perf_counter() < end:
                if found := self.events()[known:]:
                    return found
        raise AssertionError(f"{TOUCHES} touches made no entry in the journal")

    def first_touched(self, places: Places, known: int) -> list[Event]:
        """Touch the main button of a free glass for the first time, and say who stands at the car; return the entries.

        Touched again where a new plan has just changed the button's words.
        """
        page = self.shown.part(places.page)
        for _ in range(TOUCHES):
            self.shown.tap(places.main.center())
            end = perf_counter() + TAKEN_S
            while perf_counter() < end:
                if changed(page, self.shown.part(places.page)) > 10 * MUCH:
                    settle(perf_counter())
                    return self.touched(places.somebody, known)
        raise AssertionError(f"{TOUCHES} touches did not ask who stands at the car")

    def see_change(self, where: QRect, before: Picture, share: float = 0.0) -> Picture:
        """Wait until more than this share of a part's pixels has changed; return the part as it is then."""

        def look() -> Picture | None:
            now = self.shown.part(where)
            return now if changed(before, now) > share else None

        return until(look, f"a change at {where}")

    def end(self) -> str:
        """Wait for the end; return what was said on standard error."""
        assert self.process.stderr is not None
        said = self.process.stderr.read()
        self.process.wait(timeout=30)
        return said


def steps_of(events: list[Event], kind: type[StepStarted | StepFinished]) -> list[tuple[ZoneId, StepId]]:
    """Return zone and step of events that must all be of one kind."""
    found = [(e.zone, e.step) for e in events if isinstance(e, StepStarted | StepFinished) and type(e) is kind]
    assert len(found) == len(events), events
    return found


def changed(before: Picture, now: Picture) -> float:
    """Return the share of pixels that differ."""
    return float(np.mean(np.any(before != now, axis=2)))


@contextmanager
def program(shown: Display, store: Path, places: Places) -> Iterator[Running]:
    """Start the program full screen; go on once the board has been painted."""
    command = [sys.executable, "-m", "bayapp", "--store", str(store), "--job", str(JOB), "--kiosk"]
    environment = {**os.environ, "DISPLAY": shown.name, "QT_QPA_PLATFORM": "xcb"}
    with subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.PIPE, text=True) as process:
        try:
            until(lambda: stands(shown, places) or process.poll() is not None or None, "the painted board")
            assert process.poll() is None, process.stderr and process.stderr.read()
            settle(perf_counter())
            yield Running(process, shown, store)
        finally:
            process.kill()


def stands(shown: Display, places: Places) -> bool:
    """Whether the board's own ground is there, and words on the main button."""
    ground = shown.picture()[1, 1]
    wanted = [int(DARK.board[n : n + 2], 16) for n in (5, 3, 1)]
    colours = np.unique(shown.part(places.main).reshape(-1, 3), axis=0)
    return list(ground) == wanted and len(colours) > 10


def settle(since: float) -> None:
    """Let the time pass in which a button takes a second touch for a bounce."""
    until(lambda: perf_counter() > since + SETTLE_MS / 1000 + 0.05 or None, "a button that has settled")


@pytest.fixture(scope="module")
def shown() -> Iterator[Display]:
    with display() as running:
        yield running


@pytest.fixture
def places(qapp: object) -> Places:
    return Places()


def test_a_car_is_worked_by_touch_and_every_touch_is_in_the_journal(tmp_path: Path, shown: Display, places: Places):
    with program(shown, tmp_path, places) as running:
        set_up, opened = running.events()
        assert isinstance(set_up, BaySetUp)
        assert isinstance(opened, JobOpened)
        strip, bar = shown.part(places.strip), shown.part(places.main)

        begun = running.first_touched(places, AT_THE_START)
        assert steps_of(begun, StepStarted)
        bar = running.see_change(places.main, bar, MUCH)
        car_name = slice(0, places.strip.width() // 6)
        assert changed(strip[:, car_name], shown.part(places.strip)[:, car_name]) == 0

        settle(perf_counter())
        done = running.touched(places.main.center(), AT_THE_START + len(begun))
        assert steps_of(done, StepFinished) == steps_of(begun, StepStarted)
        running.see_change(places.main, bar, MUCH)

        known = len(running.events())
        page = shown.part(places.page)
        shown.tap(places.zone(REFUSED))
        page = running.see_change(places.page, page, 10 * MUCH)
        assert len(running.events()) == known

        settle(perf_counter())
        shown.press(places.main.center())
        running.see_change(places.page, page, MUCH)
        shown.lift()
        assert len(running.events()) == known
        settle(perf_counter())
        shown.tap(places.reason(1))
        (forced,) = running.new_events(known)
        assert isinstance(forced, StepStarted)
        assert forced.zone == REFUSED
        assert forced.deviation
        assert forced.deviation.reason == reasons()[1]

        running.process.send_signal(signal.SIGTERM)
        assert "Traceback" not in running.end()
        assert running.process.returncode == 0
        assert len(running.events()) == known + 1


def test_the_locked_glass_takes_no_tap_but_keys_and_one_hold(
    tmp_path: Path, shown: Display, places: Places, board: Walled
):
    board.turn_to("more")
    lock = places.choice(len(board.choices()), board.choices().index("Glove lock"))
    with program(shown, tmp_path, places) as running:
        page, bar = shown.part(places.page), shown.part(places.bar)
        shown.tap(places.more)
        running.see_change(places.page, page, 10 * MUCH)
        settle(perf_counter())
        shown.tap(lock)
        running.see_change(places.bar, bar, MUCH)
        settle(perf_counter())
        for where in (places.main.center(), places.more, places.zone(REFUSED)):
            shown.tap(where)
        settle(perf_counter())
        shown.scan("Return", "ctrl+b", "1", "Tab", "space", "2", "Escape", "Return", "ctrl+j", "Return")
        shown.scan("Tab", "Return")
        settle(perf_counter())
        assert len(running.events()) == AT_THE_START, "the control characters of a scanner are nobody's touch"
        shown.key("space")
        begun = running.new_events(AT_THE_START)
        assert steps_of(begun, StepStarted)
        shown.press(places.sign)
        settle(perf_counter() + 1.6)
        assert len(running.events()) == AT_THE_START + len(begun)
        shown.lift()
        done = running.first_touched(places, AT_THE_START + len(begun))
        assert steps_of(done, StepFinished) == steps_of(begun, StepStarted)


def test_the_program_ends_well_when_its_window_is_closed(tmp_path: Path, shown: Display, places: Places):
    with program(shown, tmp_path, places) as running:
        shown.ask_to_close(shown.window(running.process.pid))
        assert "Traceback" not in running.end()
        assert running.process.returncode == 0


def test_the_next_start_shows_the_car_as_it_was_left(tmp_path: Path, shown: Display, places: Places):
    with program(shown, tmp_path, places) as running:
        bar = shown.part(places.main)
        begun = running.first_touched(places, AT_THE_START)
        running.see_change(places.main, bar, MUCH)
        running.process.kill()
        running.end()
    with program(shown, tmp_path, places) as running:
        assert len(running.events()) == AT_THE_START + len(begun)
        done = running.first_touched(places, AT_THE_START + len(begun))
        assert steps_of(done, StepFinished) == steps_of(begun, StepStarted)
        running.process.send_signal(signal.SIGTERM)
        assert "Traceback" not in running.end()
        assert running.process.returncode == 0
