"""How late a call is: from its deadline to the first sample that leaves the sound server, on a busy machine.

Run with ``pytest -m bench -s tests/bench/test_bench_alert_lateness.py``; ``BAY_BENCH_ALERTS`` sets how many alerts (the
goal speaks of 10,000; the 25 of the default take about a minute). Every core is kept busy by a process that only
counts. The baseline is the lateness of the bare Qt timer in the same run.
"""

import multiprocessing
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QObject, Qt, QTimer

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.player import SoundPlayer
from tests.alerts.sound_server import PROGRAMS_ARE_HERE, Recorder, sound_server

COUNT = int(os.environ.get("BAY_BENCH_ALERTS", "25"))
SPACING_S = 2.0
ROOT = Path(__file__).parents[2]


def count_for_ever() -> None:
    while True:
        pass


@contextmanager
def busy_cores() -> Iterator[None]:
    burners = [multiprocessing.get_context("spawn").Process(target=count_for_ever) for _ in range(os.cpu_count() or 1)]
    for burner in burners:
        burner.start()
    try:
        yield
    finally:
        for burner in burners:
            burner.kill()
            burner.join()


class Deadlines(QObject):
    """Calls out at exact deadlines, as the screen does, and tells when its timer really woke."""

    def __init__(self, count: int) -> None:
        super().__init__()
        self.count = count
        self.deadline = 0.0
        self.timer = QTimer(self, singleShot=True, timerType=Qt.TimerType.PreciseTimer)
        self.timer.timeout.connect(self.call)
        self.player = SoundPlayer(self)
        self.player.stateChanged.connect(lambda report: self.wait())

    def wait(self) -> None:
        """Set the next deadline."""
        if self.timer.isActive():
            return
        self.deadline = time.perf_counter() + SPACING_S
        self.timer.start(round(1000 * SPACING_S))

    def call(self) -> None:
        woke = time.perf_counter()
        self.player.play(AlertKind.ATTENTION)
        sys.stdout.write(f"{self.deadline} {woke}\n")
        sys.stdout.flush()
        self.count -= 1
        if self.count:
            self.wait()
        else:
            QTimer.singleShot(round(1000 * SPACING_S), QCoreApplication.quit)


def call_out(count: int) -> None:
    """Run as a program: print a deadline and the moment of waking for each alert."""
    application = QCoreApplication([])
    deadlines = Deadlines(count)
    application.exec()
    deadlines.player.close()


def onsets(recorder: Recorder, start: int) -> list[float]:
    """Return the moments at which sound begins after at least half a second of silence."""
    loud = np.flatnonzero(np.abs(recorder.tones_since(start)) > 1e-3) + start
    first = np.concatenate([[True], np.diff(loud) > 24_000])
    return [recorder.moment(int(sample)) for sample in loud[first]]


def show(name: str, late_ms: np.ndarray) -> None:
    p50, p99 = np.percentile(late_ms, [50, 99])
    print(f"{name}: p50 {p50:.1f} ms, p99 {p99:.1f} ms, max {late_ms.max():.1f} ms")


@pytest.mark.bench
@pytest.mark.timeout(0)
@pytest.mark.skipif(not PROGRAMS_ARE_HERE, reason="needs pulseaudio, pactl and parec")
def test_no_call_is_missed_on_a_busy_machine() -> None:
    with sound_server() as server, busy_cores(), server.recorder() as recorder:
        start = recorder.mark()
        command = [sys.executable, "-m", "tests.bench.test_bench_alert_lateness", str(COUNT)]
        output = subprocess.run(
            command, cwd=ROOT, env=server.environment, stdout=subprocess.PIPE, text=True, check=True
        )
        heard = np.array(onsets(recorder, start))
    deadlines, woke = np.array([line.split() for line in output.stdout.splitlines()], dtype=float).T
    late = [
        min((1000 * (sound - due) for sound in heard if 0 <= sound - due < SPACING_S), default=None)
        for due in deadlines
    ]
    in_time = np.array([ms for ms in late if ms is not None])
    print(f"\n{COUNT} alerts, {os.cpu_count()} cores busy, load {os.getloadavg()[0]:.1f}, missed {late.count(None)}")
    show("bare Qt timer", 1000 * (woke - deadlines))
    show("deadline to first sample", in_time)
    assert len(in_time) == COUNT


if __name__ == "__main__":
    call_out(int(sys.argv[1]))
