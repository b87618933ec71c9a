"""Searches for a work order while somebody waits: says how it goes, stops at Ctrl-C."""

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from threading import Event, Thread
from typing import Protocol, TextIO

from bayapp.clock import BayClock
from bayapp.job.state.state import BayState
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.shop import Shop
from bayapp.text.figures import clock_time
from bayapp.text.language import _

LOOK_S = 0.1
SHOWN_AFTER = timedelta(seconds=1)
GIVEN_UP = 128 + signal.SIGINT
"""Exit code of a program that a signal ended, as shells tell it (POSIX.1-2017, XCU 2.8.2)."""


class Planner(Protocol):
    """What searches: ``plan_work``, or a smaller one made by hand."""

    def __call__(
        self,
        state: BayState,
        at: datetime,
        shop: Shop,
        effort: Effort = ...,
        *,
        last: WorkOrder | None = ...,
        on_better: Callable[[WorkOrder], None] | None = ...,
    ) -> WorkOrder:
        """Return the best work order found; ``on_better`` hears of each better one, from any thread."""


@dataclass(frozen=True, slots=True)
class Found:
    """A work order, and whether Ctrl-C cut the search short."""

    order: WorkOrder
    interrupted: bool


class InterruptibleSearch:
    """One search in a thread of its own, so that this one can hear Ctrl-C and say how it goes.

    Attributes:
        best: the best order so far.
    """

    def __init__(self, planner: Planner, state: BayState, at: datetime, shop: Shop, seconds: float) -> None:
        self.best: WorkOrder | None = None
        self._stop, self._over = Event(), Event()
        self._order: WorkOrder | None = None
        self._fault: BaseException | None = None
        self._tz = shop.tz
        effort = Effort(seconds, stopped=self._stop.is_set)
        self._plan = partial(planner, state, at, shop, effort, on_better=self._better)

    def run(self, screen: TextIO) -> Found:
        """Search to the end, or until Ctrl-C; a second Ctrl-C ends the program. Whatever the planner raises goes on."""
        line = _Line(screen)
        clock = BayClock.at_wall()
        began = clock.now()
        with _ctrl_c(self._interrupt):
            Thread(target=self._search, name="plan", daemon=True).start()
            while not self._over.wait(LOOK_S):
                if (elapsed := clock.now() - began) >= SHOWN_AFTER:
                    line.show(self._progress(elapsed))
        line.wipe()
        if self._fault:
            raise self._fault
        assert self._order
        return Found(self._order, self._stop.is_set())

    def _search(self) -> None:
        try:
            self._order = self._plan()
        except BaseException as fault:  # noqa: BLE001 (raised again by the thread that waits)
            self._fault = fault
        finally:
            self._over.set()

    def _better(self, order: WorkOrder) -> None:
        self.best = order

    def _interrupt(self) -> None:
        if self._stop.is_set():
            sys.stderr.write("\n" + _("Given up.") + "\n")
            sys.stderr.flush()
            os._exit(GIVEN_UP)  # the search runs in a library that need not listen
        self._stop.set()

    def _progress(self, elapsed: timedelta) -> str:
        seconds = elapsed // timedelta(seconds=1)
        best = self.best
        if best is None or best.finish is None:
            return _("{seconds} s: no order yet (Ctrl-C stops)").format(seconds=seconds)
        progress = _("{seconds} s: finish {finish}").format(seconds=seconds, finish=clock_time(best.finish, self._tz))
        return progress + _(" (Ctrl-C takes it)")


class _Line:
    """One line on a terminal that is written over again and again; nothing where nobody watches."""

    def __init__(self, screen: TextIO) -> None:
        self._screen, self._width = screen, 0
        self._watched = screen.isatty()

    def show(self, text: str) -> None:
        if self._watched:
            self._screen.write("\r" + text.ljust(self._width))
            self._screen.flush()
            self._width = max(self._width, len(text))

    def wipe(self) -> None:
        if self._width:
            self._screen.write("\r" + " " * self._width + "\r")
            self._screen.flush()


@contextmanager
def _ctrl_c(then: Callable[[], None]) -> Iterator[None]:
    before = signal.signal(signal.SIGINT, lambda *_: then())
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
