"""Twelve hours of a wall with six cars, sixty times as fast, touched at random; what they cost at the end.

Run as ``python -m tests.soak.long_day [SECONDS [SEED]]``; 720 real seconds are the twelve hours. The whole program
runs: the real window, offscreen unless QT_QPA_PLATFORM says otherwise, on a real journal, with planner and sound. It
says one line every half minute, and at the end what it measured; it exits 1 where something was broken:

- memory: the board's at the end against that after the first hour of the bay, at most 5 % more;
- from a touch to the end of the painting that answers it: 99 of 100 within 50 ms;
- from the moment of a call to its being called: 99 of 100 within 50 ms, none after more than a second.

Times are judged only where a program that does nothing but sleep is woken in time as well: it shares the machine.
"""

import gc
import os
import random
import subprocess
import sys
import tempfile
import tracemalloc
from collections import Counter
from collections.abc import Sequence
from contextlib import ExitStack, closing
from datetime import datetime, timedelta
from pathlib import Path
from statistics import quantiles
from time import perf_counter
from types import TracebackType

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PySide6.QtCore import QObject, QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from bayapp.bay import Bay
from bayapp.clock import BayClock, PracticeClock
from bayapp.files.shop.settings import Settings
from bayapp.job import CloseJob
from bayapp.job.state.requests import ReadAir
from bayapp.pages.wanted import Page
from bayapp.record import open_journal
from bayapp.screen import app
from bayapp.screen.board.clock_column import TileButton
from bayapp.screen.widgets import glove_button
from bayapp.screen.window.wall import Wall
from bayapp.screen.wiring import finish_start, make_window
from bayapp.time_zone import local_zone
from tests.alerts.sound_server import PROGRAMS_ARE_HERE, sound_server
from tests.bench.busy_bay import load_car
from tests.bench.eye import Eye
from tests.bench.processes import resident_mb

SPEED, WHOLE_DAY_S, HOUR_S = 60.0, 720.0, 60.0
CARS, WAITING, RUNGS, WAIT_MIN = 6, 40, 4, (10, 40)
SIZE = (1920, 1080)
PAUSES_MS = (150, 1_500)
NO_ANSWER_S = 0.3
PAGE_EVERY_MS = 250
MOST_GROWTH, GOAL_MS, MOST_LATE_MS, OWN_DELAY_MS = 1.05, 50.0, 1_000.0, 10.0
PAGES = (
    *(Page.PLAN, Page.AIR_DAY, Page.AIR, Page.CARS, Page.SHELF, Page.RECIPES, Page.HELP, Page.SETTINGS, Page.MORE),
    *(Page.REPORT, Page.CREW, Page.BAYS, Page.NEW_CAR, Page.CHANGE),
)
"""Looked into and left; nothing is chosen on them, else no two days would be as long."""
SLEEPER = """
import sys, time
late = []
while True:
    due = time.perf_counter() + 0.02
    time.sleep(0.02)
    late.append(1000 * (time.perf_counter() - due))
    if len(late) % 100 == 0:
        print(sorted(late[-5_000:])[-len(late[-5_000:]) // 100], flush=True)
"""


def p99(figures: Sequence[float]) -> float:
    """Return what 99 of 100 stay below; 0 where there are too few to tell."""
    return quantiles(figures, n=100)[98] if len(figures) > 1 else 0.0


class Fingers(QObject):
    """Touches the board at random moments and places, and takes the measure of what follows."""

    def __init__(self, wall: Wall, eye: Eye, folder: Path, seed: int) -> None:
        super().__init__(wall)
        self._wall, self._eye, self._folder = wall, eye, folder
        self._bay = wall.selection.bay
        self._chance = random.Random(seed)
        self._cars = 0
        self.touches = self.accepted = 0
        self.painted_ms: list[float] = []
        self.late_ms: list[float] = []
        self._called: dict[str, datetime] = {}
        wall.request_sender.accepted.connect(lambda _: self._count())
        wall.refresher.refreshed.connect(lambda _: self._look_at_calls())
        self._next = QTimer(self, singleShot=True)
        self._next.timeout.connect(self._act)

    def begin(self) -> None:
        """Take in the cars and begin."""
        for _ in range(CARS):
            self._take_in()
        for number, page in enumerate(PAGES):  # what a page loads when it is first opened is no growth
            QTimer.singleShot(PAGE_EVERY_MS * number, lambda page=page: self._wall.pages.want(page))
        QTimer.singleShot(PAGE_EVERY_MS * len(PAGES), self._work)

    def _work(self) -> None:
        self._wall.pages.show_board()
        self._next.start(0)

    def _count(self) -> None:
        self.accepted += 1

    def _take_in(self) -> None:
        self._cars += 1
        car = load_car(self._folder, self._cars, self._bay.now(), WAITING, RUNGS, WAIT_MIN)
        self._bay.open_job(car)
        self._bay.request(ReadAir(21.0, 48.0, 19.5))

    def _act(self) -> None:
        self._next.start(self._chance.randint(*PAUSES_MS))
        if self._chance.random() < 0.1:
            self._bay.request(ReadAir(round(self._chance.uniform(19, 23), 1), round(self._chance.uniform(40, 60), 1)))
        self._replace_done()
        kind = self._chance.choices(("main", "other", "car", "tile", "page", "heard"), (60, 10, 8, 8, 8, 6))[0]
        wall = self._wall
        if kind == "page":
            self._touch(wall.next_bar.more)
            wall.pages.want(self._chance.choice(PAGES))
            QTimer.singleShot(100, wall.pages.show_board)
        elif kind == "car":
            place = QPoint(self._chance.randrange(wall.car.width()), self._chance.randrange(wall.car.height()))
            self._touch(wall.car, place)
            QTimer.singleShot(100, wall.pages.show_board)
        else:
            tiles = wall.column.findChildren(TileButton)
            found: dict[str, list[QWidget]] = {
                "main": [wall.next_bar.main],
                "other": [wall.next_bar.instead],
                "tile": [*tiles],
                "heard": [wall.band.heard_button],
            }
            seen = [widget for widget in found[kind] if widget.isVisible() and widget.isEnabled()]
            if seen:
                self._touch(self._chance.choice(seen))
                QTimer.singleShot(100, wall.pages.show_board)

    def _touch(self, widget: QWidget, place: QPoint | None = None) -> None:
        """Touch, and wait for what is painted in answer; where nothing is, that is no measure."""
        self.touches += 1
        begin = perf_counter()
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton, pos=place or widget.rect().center())
        handled = perf_counter()
        while self._eye.last < handled and perf_counter() < handled + NO_ANSWER_S:
            QApplication.processEvents()
        if self._eye.last > handled:
            self.painted_ms.append((self._eye.last - begin) * 1000)

    def _replace_done(self) -> None:
        """Let the cars leave on which nothing is left to do, and others come."""
        clocks = self._bay.clocks(self._bay.now())
        for state in self._bay.state.open_jobs:
            if all(c.step is None for c in clocks if c.job == state.job.id):
                self._bay.request(CloseJob(state.job.id))
                self._take_in()

    def _look_at_calls(self) -> None:
        """Note how long after its moment each alert was raised; real milliseconds."""
        for alert in self._bay.alerts.book.alerts:
            subject = alert.condition.answer_key
            if self._called.get(subject) != alert.condition.since:
                self._called[subject] = alert.condition.since
                late = (alert.raised_at - alert.condition.since) / timedelta(milliseconds=1) / SPEED
                self.late_ms.append(late)


class Day(QObject):
    """One day: looks at memory every few seconds, and judges all at its end."""

    def __init__(self, fingers: Fingers, seconds: float, sleeper: "subprocess.Popen[str]") -> None:
        super().__init__(fingers)
        self._fingers, self._seconds, self._sleeper = fingers, seconds, sleeper
        self._began = perf_counter()
        self._memory: list[tuple[float, float]] = []
        self.faults: list[str] = []
        self._look = QTimer(self, interval=2_000)
        self._look.timeout.connect(self._take_measure)
        self._look.start()

    def _take_measure(self) -> None:
        elapsed = perf_counter() - self._began
        self._memory.append((elapsed, resident_mb(os.getpid())))
        if len(self._memory) % 15 == 0:
            at, mb = self._memory[-1]
            fingers = self._fingers
            print(f"  {at:4.0f} s: {mb:.1f} MB, {fingers.touches} touches, {len(fingers.late_ms)} calls", flush=True)
            if tracemalloc.is_tracing():
                _show_growth()
        if elapsed > self._seconds:
            self._look.stop()
            QApplication.closeAllWindows()
            QApplication.quit()

    def fault(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Note an error that no code has caught."""
        self.faults.append(f"{kind.__name__}: {error}")
        sys.__excepthook__(kind, error, trace)

    def _memory_around(self, moment: float) -> float:
        near = sorted(mb for at, mb in self._memory if abs(at - moment) <= HOUR_S / 2)
        return near[len(near) // 2]

    def broken(self) -> list[str]:
        """Print what was measured; return what is not as it must be."""
        fingers, wrong = self._fingers, [f"an error of ours: {fault}" for fault in self.faults]
        self._sleeper.kill()
        own = [float(line) for line in self._sleeper.communicate()[0].split()]
        quiet = not own or own[-1] < OWN_DELAY_MS
        late, painted = fingers.late_ms, fingers.painted_ms
        load = ", ".join(f"{x:.1f}" for x in os.getloadavg())
        print(f"  {fingers.touches} touches, {fingers.accepted} accepted, {len(painted)} answered by a painting")
        print(f"  touch to painting: p99 {p99(painted):.1f} ms")
        print(f"  {len(late)} calls: p99 {p99(late):.1f} ms late, at most {max(late, default=0):.1f} ms")
        print(f"  a program that only sleeps: p99 {own[-1] if own else 0:.1f} ms late")
        print(f"  load {load} on {os.cpu_count()} cores")
        if self._seconds >= 3 * HOUR_S:
            first, last = self._memory_around(1.5 * HOUR_S), self._memory_around(self._seconds - HOUR_S / 2)
            print(f"  memory of the board: {first:.1f} MB in the second hour, {last:.1f} MB in the last")
            if last > MOST_GROWTH * first:
                wrong.append(f"memory grew from {first:.1f} to {last:.1f} MB")
        if not painted or not late:
            wrong.append("nothing was painted or called; this shows nothing")
        if not quiet:
            print("  the machine was busy with other work: times are shown, not judged")
        elif p99(painted) > GOAL_MS or p99(late) > GOAL_MS or max(late, default=0) > MOST_LATE_MS:
            wrong.append("too slow: see above")
        return wrong


_BEFORE: list[tracemalloc.Snapshot] = []
_TYPES: list[Counter[str]] = []


def _show_growth() -> None:
    """Show where memory has grown since the second look, by line and by type: with PYTHONTRACEMALLOC set."""
    gc.collect()
    _BEFORE.append(tracemalloc.take_snapshot())
    _TYPES.append(Counter(type(found).__name__ for found in gc.get_objects()))
    if len(_BEFORE) > 2:
        for line in _BEFORE[-1].compare_to(_BEFORE[1], "lineno")[:12]:
            print("   ", line)
        print("   ", (_TYPES[-1] - _TYPES[1]).most_common(12), flush=True)
        del _BEFORE[2:], _TYPES[2:]


def main(seconds: float, seed: int) -> int:
    """Let a day pass; return 1 where something was broken."""
    with ExitStack() as stack:
        if PROGRAMS_ARE_HERE:
            os.environ.update(stack.enter_context(sound_server()).environment)
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="bayapp-long-day-")))
        sleeper = stack.enter_context(
            subprocess.Popen([sys.executable, "-c", SLEEPER], stdout=subprocess.PIPE, text=True)
        )
        stack.callback(sleeper.kill)
        patch = stack.enter_context(pytest.MonkeyPatch.context())
        application = app.application()
        patch.setattr(glove_button, "SETTLE_MS", 0)  # these fingers do not bounce
        journal = stack.enter_context(closing(open_journal(folder / "store")))
        bay = Bay(journal, PracticeClock(BayClock.at_wall().now(), SPEED))
        wall = make_window(bay, folder / "store", Settings(), local_zone(), practice=True)
        wall.stands.connect(lambda: finish_start(wall, folder / "store", Settings(), practice=True))
        wall.resize(*SIZE)
        wall.show()
        fingers = Fingers(wall, Eye(patch), folder, seed)
        day = Day(fingers, seconds, sleeper)
        patch.setattr(sys, "excepthook", day.fault)
        QTimer.singleShot(0, fingers.begin)
        application.exec()
        wrong = day.broken()
        wall.close()
        wall.deleteLater()
        application.processEvents()
    print("\n".join(f"  BROKEN: {one}" for one in wrong) or "  all held")
    return 1 if wrong else 0


if __name__ == "__main__":
    given = [*map(float, sys.argv[1:]), *(WHOLE_DAY_S, 1.0)[len(sys.argv) - 1 :]]
    sys.exit(main(given[0], int(given[1])))
