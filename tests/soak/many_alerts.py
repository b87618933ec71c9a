"""Ten thousand calls while the planner has every core and papers are written: how late, and is one missed?

Run as ``python -m tests.soak.many_alerts [COUNT]``, on a sound server of its own. From the moment that a call is due to
the moment at which its tone is handed to the device; ``tests/bench/test_bench_alert_lateness.py`` measures a few on to
the first sample that leaves the server. Exits 1 where a call was missed, or where 1 in 100 was more than 50 ms late on
a machine that was at rest before.
"""

import os
import subprocess
import sys
import tempfile
from collections import deque
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from datetime import UTC, timedelta
from pathlib import Path
from threading import Event, Thread
from time import perf_counter

from PySide6.QtCore import QCoreApplication, QObject, Qt, QTimer

from bayapp.alerts.device import DeviceState
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.player import SoundPlayer
from bayapp.clock import BayClock
from bayapp.record import open_journal
from tests.alerts.sound_server import PROGRAMS_ARE_HERE, sound_server
from tests.bench.busy_bay import cars_with_running_clocks
from tests.bench.processes import ROOT
from tests.soak.long_day import p99

COUNT, SPACING_MS, GIVEN_UP_MS, GOAL_MS = 10_000, 60, 10_000, 50.0
AT_REST = 0.5
"""Of the cores busy before it begins; beyond that the figures are of another machine."""
SEARCHING = """
import os
from bayapp.cli.priority import lower_priority
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.bench.plan_jobs import day
lower_priority()
state = day(246, 3)
at = next(iter(state.jobs.values())).job.start
while True:
    plan_work(state, at, Shop(), Effort(60, workers=os.cpu_count() or 1))
"""


class Calls(QObject):
    """Calls at exact moments, one tone cutting the other short, and hears when each was handed over."""

    def __init__(self, count: int) -> None:
        super().__init__()
        self._left = count
        self.due: deque[float] = deque()
        self.late_ms: list[float] = []
        self.player = SoundPlayer(self)
        self.player.stateChanged.connect(lambda report: self._begin() if report.state is DeviceState.WORKING else None)
        self.player.started.connect(self._started)
        self._next = QTimer(self, singleShot=True, timerType=Qt.TimerType.PreciseTimer)
        self._next.timeout.connect(self._call)
        self._deadline = 0.0

    def _begin(self) -> None:
        if not self._deadline:
            self._deadline = perf_counter()
            self._wait()

    def _wait(self) -> None:
        self._deadline = max(self._deadline, perf_counter()) + SPACING_MS / 1000
        self._next.start(max(1, round((self._deadline - perf_counter()) * 1000)))

    def _call(self) -> None:
        self.due.append(self._deadline)
        self.player.play(AlertKind.ATTENTION)
        self._left -= 1
        if self._left:
            self._wait()
        else:
            QTimer.singleShot(GIVEN_UP_MS, QCoreApplication.quit)

    def _started(self, _kind: AlertKind) -> None:
        self.late_ms.append((perf_counter() - self.due.popleft()) * 1000)
        if not self._left and not self.due:
            QCoreApplication.quit()


@contextmanager
def planner_on_all_cores() -> Iterator["subprocess.Popen[bytes]"]:
    """Search for plans without end, as urgently as the board's planner does."""
    with subprocess.Popen([sys.executable, "-c", SEARCHING], cwd=ROOT) as searching:
        try:
            yield searching
        finally:
            searching.kill()


@contextmanager
def papers_being_written(folder: Path) -> Iterator[list[int]]:
    """Write the day record of a car again and again; the list has how each ended."""
    now = BayClock.at_wall().now()
    store, over, ended = folder / "store", Event(), list[int]()
    with closing(open_journal(store)) as journal:
        past = cars_with_running_clocks(folder, now - timedelta(minutes=1), 1, 20, 4)
        journal.append(past, BayClock.at_wall().stamp())
        (car,) = journal.open_jobs()
    words = ["report", f"--store={store}", f"--job={car}", f"--day={now.astimezone(UTC).date()}", f"--out={folder}"]

    def write() -> None:
        while not over.is_set():
            command = [sys.executable, "-m", "bayapp", *words]
            written = subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, check=False)
            ended.append(written.returncode)

    writer = Thread(target=write)
    writer.start()
    try:
        yield ended
    finally:
        over.set()
        writer.join()


def main(count: int) -> int:
    """Call so often; print what was measured; return 1 where it is not as it must be."""
    if not PROGRAMS_ARE_HERE:
        print("  skipped: needs pulseaudio, pactl and parec")
        return 0
    before, cores = os.getloadavg()[0], os.cpu_count() or 1
    with ExitStack() as stack:
        os.environ.update(stack.enter_context(sound_server()).environment)
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="bayapp-alerts-")))
        planner = stack.enter_context(planner_on_all_cores())
        papers = stack.enter_context(papers_being_written(folder))
        application = QCoreApplication([])
        calls = Calls(count)
        application.exec()
        calls.player.close()
        planned = planner.poll() is None
    late, missed = calls.late_ms, count - len(calls.late_ms)
    print(f"  {count} calls, {missed} missed; {len(papers)} papers were written meanwhile")
    print(f"  load before {before:.1f} on {cores} cores")
    print(f"  from due to handed over: p99 {p99(late):.1f} ms, at most {max(late, default=0):.1f} ms")
    if any(papers) or missed or not planned:
        print("  BROKEN: a call was missed, a paper not written, or the planner ended that had all cores")
        return 1
    if before > AT_REST * cores:
        print("  the machine was busy with other work: lateness is shown, not judged")
        return 0
    return int(p99(late) > GOAL_MS)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if sys.argv[1:] else COUNT))
