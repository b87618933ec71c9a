"""Plans in a short-lived child, so that the memory of a search is there only while it runs.

60 MB of libraries and what the search leaves behind go with the child. It says every second that it is alive, and may
take no more than a bounded memory.
"""

import gc
import multiprocessing
import sys
import traceback
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from multiprocessing.connection import Connection
from threading import Event, Lock, Thread
from time import perf_counter
from typing import TYPE_CHECKING

from bayapp.cli.plan.limits import end_with_parent, limit_memory
from bayapp.job.state.state import BayState
from bayapp.planning.core.effort import USUAL, Effort, never
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.shop import Shop

if TYPE_CHECKING:
    from bayapp.cli.plan.search import Planner

FORKS = sys.platform == "linux"
"""Elsewhere a child is a program begun anew, which takes longer than a first order may; and macOS's own libraries
do not bear to be forked."""
LOOK_S = 0.02
BEAT_S = 1.0
SILENT_S = 5.0
"""A child that has said nothing for so long was stopped; on a busy machine it still says a word a second."""


class SearchEndedError(Exception):
    """A child ended before it answered: the machine has no memory left, or the search's library broke down."""


class SearchStandsStillError(Exception):
    """A child says nothing any more, not even that it is alive: somebody or something has stopped it."""


class PlannerApart:
    """A planner that has each plan made by another one in a fork of this process, which must run no other threads.

    The child has all that this process has loaded without loading it again; what it loads itself, and all memory
    that a search leaves behind, goes with it. When it is stopped it is killed, once a first order has come.
    """

    def __init__(self, planner: "Planner") -> None:
        self._planner = planner
        self._forking = multiprocessing.get_context("fork")

    def __call__(
        self,
        state: BayState,
        at: datetime,
        shop: Shop,
        effort: Effort = USUAL,
        *,
        last: WorkOrder | None = None,
        on_better: Callable[[WorkOrder], None] | None = None,
    ) -> WorkOrder:
        """Return the best work order that the child found; whatever the planner raises is raised here."""

        def search(tell: Callable[[WorkOrder], None]) -> WorkOrder:
            return self._planner(state, at, shop, replace(effort, stopped=never), last=last, on_better=tell)

        answers, tells = self._forking.Pipe(duplex=False)
        child = self._forking.Process(target=_answer, args=(search, tells), daemon=True)
        gc.freeze()  # else the child's collector writes to every page, and none stays shared
        child.start()
        gc.unfreeze()
        tells.close()
        try:
            return _hear(answers, on_better, effort.stopped)
        finally:
            answers.close()
            child.kill()
            child.join()
            child.close()


def _hear(answers: Connection, on_better: Callable[[WorkOrder], None] | None, stopped: Callable[[], bool]) -> WorkOrder:
    """Pass on each order that comes; return the last one, or the best so far once stopped."""
    best: WorkOrder | None = None
    heard = perf_counter()
    while not stopped() or best is None:
        if not answers.poll(LOOK_S):
            if perf_counter() - heard > SILENT_S:
                raise SearchStandsStillError
            continue
        heard = perf_counter()
        try:
            answer: WorkOrder | Exception | None
            answer, over = answers.recv()
        except EOFError as gone:
            raise SearchEndedError from gone
        if isinstance(answer, Exception):
            raise answer
        if answer is None:
            continue
        if over:
            return answer
        best = answer
        if on_better:
            on_better(best)
    return best


def _answer(search: Callable[[Callable[[WorkOrder], None]], WorkOrder], tells: Connection) -> None:
    """In the child: tell of each better order, at last of the best, and meanwhile of being alive."""
    end_with_parent()
    limit_memory()
    lock, over = Lock(), Event()

    def tell(what: WorkOrder | Exception | None, last: bool = False) -> None:
        with lock:
            tells.send((what, last))

    def beat() -> None:
        while not over.wait(BEAT_S):
            tell(None)

    Thread(target=beat, name="beat", daemon=True).start()
    try:
        best = search(tell)
        over.set()
        tell(best, last=True)
    except Exception as fault:  # noqa: BLE001 (raised again by the parent, which logs it)
        over.set()
        fault.add_note(traceback.format_exc())
        tell(fault, last=True)
