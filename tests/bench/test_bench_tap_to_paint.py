"""From a tap to the painted change: 6 cars of 45 zones, 100 running clocks; the floor is one frame."""

import statistics
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from bayapp.bay import Bay
from bayapp.clock import BayClock
from bayapp.drawing.palette import DARK
from bayapp.job.model.ids import Urgency
from bayapp.record import open_journal
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import measure_of
from bayapp.screen.widgets.typeset import load_fonts
from bayapp.screen.window.wall import Wall
from bayapp.time_zone import local_zone
from tests.bench.busy_bay import cars_with_running_clocks, write_store
from tests.bench.eye import Eye

pytestmark = [pytest.mark.bench, pytest.mark.timeout(600)]

CARS, CLOCKS, TAPS = 6, 100, 300
SIZE = (1920, 1080)
FRAME_MS = 1000 / 60


@contextmanager
def wall_of_many_clocks(folder: Path) -> Iterator[Wall]:
    clock = BayClock.at_wall()
    write_store(folder / "store", cars_with_running_clocks(folder, clock.now(), CARS, CLOCKS, 30), clock)
    journal = open_journal(folder / "store")
    bay = Bay(journal, clock)
    at = bay.now()
    assert sum(c.urgency is Urgency.WAITING for c in bay.clocks(at)) == CLOCKS
    assert len(bay.clocks(at)) == CARS * 45
    load_fonts()
    wall = Wall(bay, Look(DARK, measure_of(None, *SIZE, 27)), local_zone())
    wall.resize(*SIZE)
    wall.show()
    wall.refresher.refresh()
    QApplication.processEvents()
    yield wall
    wall.close()
    wall.deleteLater()
    QApplication.processEvents()
    journal.close()


def report(name: str, figures: Sequence[float]) -> None:
    cuts = statistics.quantiles(figures, n=100)
    print(f"  {name:<44} p50 {cuts[49]:7.2f} ms   p99 {cuts[98]:7.2f} ms   n = {len(figures)}")


def taps(wall: Wall, eye: Eye) -> tuple[list[float], list[float]]:
    """Tap the main button; return milliseconds to its durable acceptance, and to the end of the painting."""
    main, durable, painted = wall.next_bar.main, [], []
    moments: list[float] = []

    def accept() -> None:
        moments.append(perf_counter())
        eye.seen.clear()  # what was painted before, the pressed button, is not the answer

    wall.request_sender.accepted.connect(accept)
    for _ in range(TAPS):
        moments.clear()
        begin = perf_counter()
        QTest.mouseClick(main, Qt.MouseButton.LeftButton)
        assert len(moments) == 1, main.title
        end = eye.wait_for(main)
        durable.append((moments[0] - begin) * 1000)
        painted.append((end - begin) * 1000)
    return durable, painted


def bare_repaints() -> list[float]:
    """Return milliseconds from asking for a repaint of an empty window of the same size to its end."""

    class Bare(QWidget):
        over = 0.0

        def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 (Qt's name)
            self.over = perf_counter()

    window, found = Bare(), []
    window.setGeometry(QRect(0, 0, *SIZE))
    window.show()
    QApplication.processEvents()
    for _ in range(TAPS):
        window.over, begin = 0.0, perf_counter()
        window.update()
        while not window.over:
            QApplication.processEvents()
        found.append((window.over - begin) * 1000)
    window.close()
    return found


def test_a_tap_to_the_painted_change(tmp_path: Path, qapp: QApplication, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(glove_button, "SETTLE_MS", 0)  # this finger does not bounce
    eye = Eye(monkeypatch)
    with wall_of_many_clocks(tmp_path) as wall:
        durable, painted = taps(wall, eye)
    print(f"\n  {CARS} cars of 45 zones, {CLOCKS} running clocks, {SIZE[0]} by {SIZE[1]}, {qapp.platformName()}")
    report("tap to the painted change", painted)
    report("  of that, tap to the entry on disk", durable)
    report("empty window, repaint", bare_repaints())
    print(f"  one frame of a 60 Hz screen {FRAME_MS:.1f} ms; goal: p99 at most 50 ms")
