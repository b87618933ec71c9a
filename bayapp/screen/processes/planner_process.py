"""Runs the planner's process while a car is in the bay, and takes its answers.

It runs at a lower priority and ends as soon as its standard input does. It holds no state: if it is killed, or killed
here because it stands still, it is started again and plans anew.
"""

import json
import logging
from datetime import datetime, timedelta
from pathlib import Path

from pydantic import BaseModel, ValidationError
from PySide6.QtCore import QObject, QProcess, QProcessEnvironment, QTimer, Signal

from bayapp.bay import Bay
from bayapp.bay.planner_out import Outage, PlannerOut
from bayapp.job import BayState
from bayapp.job.model.instant import write_instant
from bayapp.planning.core.work_order import WorkOrder
from bayapp.screen.processes.planner_watch import PlannerWatch
from bayapp.screen.processes.report_runner import command

LOG = logging.getLogger("bayapp")
LONGEST_LINE = 4_000_000
CLOSING_MS = 5_000
FIRST_PAUSE_MS, LONGEST_PAUSE_MS = 1_000, 60_000
TOLD_AFTER_MS = 3_000
"""A planner that is back with an order by then has not been missed."""
GIVES_UP_AFTER = 4
"""Failures in a row after which it is said that it fails again and again; it is still tried now and then."""
MOST_NONSENSE = 10
"""Of so many lines of one process that are no answers it is ended."""
AGAIN = timedelta(minutes=5)
LOOK_AHEAD_MS = 1_000
"""After this it is worked out when to ask again; it takes half a frame, which no touch shall wait for."""
KIND_WITHIN = 60
"""The kind of an answer stands in so many of its first bytes."""


class _Answer(BaseModel):
    order: int = 0
    work: WorkOrder | None = None
    done: bool = False
    alive: bool = False


def _sparing() -> QProcessEnvironment:
    """Return this environment, with one heap for all threads of a search: glibc keeps one for each (mallopt(3))."""
    found = QProcessEnvironment.systemEnvironment()
    found.insert("MALLOC_ARENA_MAX", "1")
    return found


def pause_ms(failures: int) -> int:
    """Return how long to wait after this many failures in a row, at least one."""
    return min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** (failures - 1))


class PlannerProcess(QObject):
    """Runs ``bayapp plan-follow`` beside this screen and hands each work order to the bay.

    Asks after every change of the state, and again when a clock opens or lapses or five minutes of the bay have
    passed. ``begin`` it once the board stands, ``stop`` it before the window goes.

    Signals:
        planned: a work order came and was handed to the bay; carries it.
        lost: there is no planner, which the bay has been told; carries the PlannerOut. The board works without it.
    """

    planned = Signal(object)
    lost = Signal(object)

    def __init__(self, store: Path, bay: Bay, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._store, self._bay = store, bay
        self._begun = self._wanted = self._busy = self._late = False
        self._order = self._newest = self._failures = self._nonsense = 0
        self._asked: BayState | None = None
        self._asked_at = bay.now()
        self._unread = bytearray()
        self._said = ""
        self._failed_at: datetime | None = None
        self._watch = PlannerWatch(self)
        self._watch.owing.connect(lambda: self._lose(Outage.LATE, self._asked_at))
        self._watch.hung.connect(self._end_hung)
        self._process = QProcess(self)
        self._process.started.connect(self._ask)
        self._process.finished.connect(self._ended)
        self._process.errorOccurred.connect(self._not_started)
        self._process.readyReadStandardOutput.connect(self._read)
        self._process.readyReadStandardError.connect(self._read_words)
        self._process.setProcessEnvironment(_sparing())
        self._soon, self._pause = self._timer(self._ask), self._timer(self._ask)
        self._ahead, self._again = self._timer(self._look_ahead), self._timer(self._once_more)
        self._missed = self._timer(self._miss)
        bay.subscribe(self._changed)

    def _timer(self, then: object) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.timeout.connect(then)
        return timer

    @property
    def running(self) -> bool:
        """Whether the process is there."""
        return self._process.state() is not QProcess.ProcessState.NotRunning

    @property
    def asked(self) -> int:
        """How often a process has been asked for a plan."""
        return self._order

    @property
    def asks_again_in_ms(self) -> int | None:
        """How long until it asks again if nobody touches anything; None until that has been worked out."""
        return self._again.interval() if self._again.isActive() else None

    @property
    def starts_again_in_ms(self) -> int | None:
        """How long until a process that ended is started again; None if none is to be."""
        return self._pause.interval() if self._pause.isActive() else None

    def process_id(self) -> int:
        """Return the process id, 0 if none runs."""
        return self._process.processId()

    def begin(self) -> None:
        """Plan from now on, whenever a car is in the bay."""
        self._begun = True
        self._soon.start(0)

    def stop(self) -> None:
        """End the process and plan no more; nothing is lost, because it holds no state."""
        self._begun = False
        self._end_process()
        if self.running:
            self._process.waitForFinished(CLOSING_MS)

    def replan(self) -> None:
        """Ask again, because the shop's hours or people have changed."""
        if self._begun:
            self._soon.start(0)

    # RequestSender.

    def _changed(self) -> None:
        """Ask once for all changes of state in one turn of the event loop; ignore alerts and new work orders."""
        if self._begun and self._bay.state is not self._asked:
            self._soon.start(0)

    def _once_more(self) -> None:
        """Ask again because time has passed, but let a running search end first."""
        if self._busy:
            self._late = True
        else:
            self._ask()

    def _ask(self) -> None:
        if not self._begun:
            return
        state = self._asked = self._bay.state
        if not state.open_jobs:
            self._rest()
        elif not self.running:
            self._start()
        elif self._wanted and self._process.state() is QProcess.ProcessState.Running:
            self._order += 1
            self._busy, self._late = True, False
            self._asked_at = self._bay.now()
            request = {"at": write_instant(self._asked_at), "order": self._order}
            self._process.write(json.dumps(request).encode() + b"\n")
            self._watch.asked(self._failures)
            self._again.stop()
            self._ahead.start(LOOK_AHEAD_MS)

    def _look_ahead(self) -> None:
        """Set the time at which to ask again if nobody touches anything."""
        since = self._asked_at
        moments = [m for c in self._bay.clocks(since) for m in (c.opens_at, c.lapses_at) if m and m > since]
        left = min([since + AGAIN, *moments]) - self._bay.now()
        self._again.start(max(0, round(left / timedelta(milliseconds=1) / self._bay.speed + 1)))

    # The process.

    def _start(self) -> None:
        if self._pause.isActive():
            return
        self._wanted = True
        self._nonsense = 0
        self._watch.begin(self._failures)
        program, *before = command()
        self._process.start(program, [*before, "plan-follow", f"--store={self._store}"])

    def _rest(self) -> None:
        """End the process while the bay is empty, to free its memory."""
        self._failures = 0
        self._end_process()
        if self._bay.advice.order or self._bay.advice.planner_out:
            self._bay.advice.take_order(None)

    def _end_process(self) -> None:
        self._wanted = self._busy = False
        self._failed_at = None
        self._watch.end()
        for timer in (self._soon, self._pause, self._ahead, self._again, self._missed):
            timer.stop()
        if self.running:
            self._process.kill()

    def _not_started(self, error: QProcess.ProcessError) -> None:
        if error is QProcess.ProcessError.FailedToStart:  # every other trouble also ends the process
            self._said = self._process.errorString()
            self._ended()

    def _end_hung(self) -> None:
        """Kill a process that stands still; one that was only stopped could bring an old order when it goes on."""
        LOG.warning("the planner's process %d stands still and is ended", self.process_id())
        self._lose(Outage.ENDED, self._bay.now())
        self._process.kill()

    def _ended(self) -> None:
        self._busy = False
        self._watch.end()
        self._ahead.stop()
        self._again.stop()
        self._unread.clear()
        if not self._wanted:
            if self._begun:
                self._soon.start(0)  # a car may have come while it ended
            return
        self._failures += 1
        LOG.warning("the planner ended by itself, %d in a row: %s", self._failures, self._said)
        if self._failed_at is None:
            self._failed_at = self._bay.now()
            self._missed.start(TOLD_AFTER_MS)
        elif self._failures >= GIVES_UP_AFTER:
            self._miss()
        self._pause.start(pause_ms(self._failures))

    def _miss(self) -> None:
        """Tell that it ended and is not back."""
        outage = Outage.GIVEN_UP if self._failures >= GIVES_UP_AFTER else Outage.ENDED
        self._lose(outage, self._failed_at or self._bay.now())

    def _lose(self, outage: Outage, since: datetime) -> None:
        out = PlannerOut(since, outage, self._said)
        self._bay.advice.lose_planner(out)
        self.lost.emit(out)

    # Answers.

    def _read(self) -> None:
        self._unread += self._process.readAllStandardOutput().data()
        *lines, rest = self._unread.split(b"\n")
        self._unread = rest
        works = [line for line in lines if b'"work"' in line[:KIND_WITHIN]]
        for line in lines:
            if line and (line not in works[:-1]):  # of several that came at once, only the newest counts
                self._hear(bytes(line))
        if len(rest) > LONGEST_LINE:
            LOG.error("a fault of bayapp's own: the planner sent a line without an end")
            self._unread.clear()
            self._process.kill()

    def _hear(self, line: bytes) -> None:
        try:
            answer = _Answer.model_validate_json(line)
        except ValidationError as error:
            LOG.error("a fault of bayapp's own: the planner's answer %r is none: %s", line[:80], error)
            self._nonsense += 1
            if self._nonsense == MOST_NONSENSE:
                self._process.kill()
            return
        self._watch.heard()
        if answer.work and self._wanted and answer.order >= self._newest:
            self._take(answer.order, answer.work)
        if answer.done and answer.order == self._order:
            self._watch.done()
            self._failures = 0
            self._busy = False
            if self._newest != self._order:
                self._read_words()
                self._lose(Outage.ENDED, self._asked_at)
            if self._late:
                self._ask()

    def _take(self, number: int, work: WorkOrder) -> None:
        """Hand an order to the bay, unless it is of an older state than the one that was asked for."""
        asked_last = number == self._order
        if asked_last and self._is_old(work):
            LOG.error("a fault of bayapp's own: the planner's order %d knows entries only up to %s", number, work.entry)
            return
        self._newest = number
        if asked_last:
            self._watch.ordered()
            self._missed.stop()
            self._failed_at, self._said = None, ""
        self._bay.advice.take_order(work)
        self.planned.emit(work)

    def _is_old(self, work: WorkOrder) -> bool:
        last_at = self._asked.last_at if self._asked else None
        return last_at is not None and (work.entry is None or work.entry < last_at)

    def _read_words(self) -> None:
        output = bytes(self._process.readAllStandardError().data()).decode(errors="replace").strip()
        if output:
            self._said = output.splitlines()[-1][:500]
            LOG.warning("the planner says: %s", output[:5_000])
