"""The practice wall at speed, worked to the end by a hand that presses the big button and does what it says.

Run as ``python -m tests.screen.whole_program.driven_program [SEED [SPEED]]``: the real window, offscreen unless
QT_QPA_PLATFORM says otherwise, and the real planner beside it. It prints one JSON line for every touch and one at the
end: lapses, when all was done, and how long after a touch the planner's first order that knew of it came.
"""

import json
import os
import sys
from datetime import datetime, timedelta
from statistics import quantiles
from time import perf_counter
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from bayapp.job import FinishStep, ReadAir, Start, Verdict
from bayapp.job.model.ids import Person, StepKind, ZoneId
from bayapp.screen import app, wiring
from bayapp.screen.processes.planner_process import PlannerProcess
from bayapp.screen.widgets import glove_button
from bayapp.screen.window.wall import Wall
from tests.planning.support.driver import READING_SERVES, Pace, Turns

LOOK_MS = 100
LONGEST_S = 3000.0


def tell(**what: Any) -> None:
    """Print one line, whole and at once."""
    sys.stdout.write(json.dumps(what, default=str) + "\n")
    sys.stdout.flush()


class DrivingHand(QObject):
    """Works for the whole crew: it says who stands there, reads the big button, presses it, and takes its time."""

    def __init__(self, seed: int) -> None:
        super().__init__()
        (self.wall,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, Wall))
        self.bay = self.wall.selection.bay
        self.turns = Turns(Pace(seed))
        self.began, self.opened = perf_counter(), self.bay.now()
        self.ends: dict[tuple[Person | None, datetime], datetime] = {}
        self.touched_at: dict[datetime, float] = {}
        self.late: list[float] = []
        self.refused = self.touches = self.orders = 0
        self.known = set(self._missed())
        self.missed: set[tuple[str, ...]] = set()
        self.wall.request_sender.accepted.connect(self._accepted)
        self.looking = QTimer(self)
        self.looking.timeout.connect(self._look)
        self.looking.start(LOOK_MS)

    def _accepted(self, verdict: Verdict) -> None:
        if self.bay.state.last_at:
            self.touched_at[self.bay.state.last_at] = perf_counter()

    def watch(self) -> None:
        """Hear when the planner tells."""
        for controller in self.wall.findChildren(PlannerProcess):
            controller.planned.connect(self._planned)

    def _planned(self) -> None:
        self.orders += 1
        order = self.bay.advice.order
        touched = self.touched_at.pop(order.entry, None) if order and order.entry else None
        if touched is not None:
            self.late.append(perf_counter() - touched)

    def _look(self) -> None:
        clocks = self.bay.clocks(self.bay.now())
        self.missed |= set(self._missed()) - self.known
        if all(c.step is None for c in clocks) or perf_counter() > self.began + LONGEST_S:
            self._end()
            return
        for person in dict.fromkeys(p for job in self.bay.state.open_jobs for p in job.job.crew):
            self._stand(person)

    def _stand(self, person: Person) -> None:
        running = [c.running for c in self.bay.clocks(self.bay.now()) if c.running and c.running.by == person]
        if running and self.bay.now() < self._until(person):
            return
        self.wall.pages.show_board()
        self.wall.strip.person_chosen.emit(person)
        offer = self.wall.next_bar.offer_of(self.wall.next_bar.main)
        if offer is None or not isinstance(offer.action, Start | FinishStep):
            return
        if isinstance(offer.action, Start):
            self._read_air(offer.action)
        before = self.bay.state
        QTest.mouseClick(self.wall.next_bar.main, Qt.MouseButton.LeftButton)
        if self.bay.state is before and self.wall.ladder_bar.isVisibleTo(self.wall):
            QTest.mouseClick(self.wall.ladder_bar.main, Qt.MouseButton.LeftButton)  # which of several layers it is
        if self.bay.state is before:
            self.refused += 1
            tell(event="refused", offer=offer.title)
            return
        self.touches += 1
        tell(event="touch", at=self.bay.now(), by=person, offer=offer.title, detail=offer.detail)

    def _until(self, person: Person) -> datetime:
        """Return when the work that a person has begun is truly done."""
        clocks = [c for c in self.bay.clocks(self.bay.now()) if c.running and c.running.by == person]
        run = clocks[0].running
        assert run
        if (person, run.started_at) not in self.ends:
            start = Start(clocks[0].job, tuple(c.zone for c in clocks), run.step, person)
            self.ends[person, run.started_at] = run.started_at + self.turns.takes(self.bay.state, start)
        return self.ends[person, run.started_at]

    def _read_air(self, start: Start) -> None:
        step = self.bay.state.jobs[start.job].job.recipe_of(start.zones[0]).named(start.step)
        air = self.bay.state.air
        if step.kind is StepKind.COAT and (air is None or self.bay.now() - air.at > READING_SERVES):
            self.wall.request_sender.send(ReadAir(21.0, 48.0, 19.5, start.by))

    def _missed(self) -> list[tuple[ZoneId, str, str]]:
        missed = [
            (zone, str(lapse.step), str(lapse.lapsed_at))
            for job in self.bay.state.open_jobs
            for zone, state in job.zones.items()
            for lapse in state.lapses
        ]
        clocks = self.bay.clocks(self.bay.now())
        return missed + [(c.zone, str(lapse.step), str(lapse.lapsed_at)) for c in clocks for lapse in c.lapses]

    def _end(self) -> None:
        self.looking.stop()
        runs = [r for job in self.bay.state.open_jobs for zone in job.zones.values() for r in zone.runs]
        finish = max((r.finished_at for r in runs if r.finished_at), default=self.opened)
        cuts = quantiles(self.late, n=20) if len(self.late) > 1 else [0.0] * 19
        tell(
            event="end",
            done=all(c.step is None for c in self.bay.clocks(self.bay.now())),
            hours=round((finish - self.opened) / timedelta(hours=1), 3),
            real_s=round(perf_counter() - self.began),
            touches=self.touches,
            refused=self.refused,
            missed=sorted(self.missed),
            orders=self.orders,
            latency_s={"answers": len(self.late), "p50": cuts[9], "p95": cuts[18], "max": max(self.late, default=0)},
        )
        self.wall.close()


def main(seed: int, speed: float) -> int:
    """Run the practice wall as ``bayapp --practice --speed`` does, with a hand that comes alive in its event loop."""
    application = app.application()
    glove_button.SETTLE_MS = 0  # this hand does not bounce
    wiring.add_sound = lambda window, settings: None
    hands: list[DrivingHand] = []

    def come() -> None:
        hands.append(DrivingHand(seed))
        QTimer.singleShot(3_000, hands[0], hands[0].watch)  # the planner begins once the board stands

    QTimer.singleShot(0, application, come)
    return app.run(None, app.WallOptions(practice=True, speed=speed, kiosk=True))


if __name__ == "__main__":
    seed, speed = [*map(float, sys.argv[1:]), *(1.0, 60.0)[len(sys.argv) - 1 :]]
    sys.exit(main(int(seed), speed))
