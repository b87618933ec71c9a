"""``plan-follow``: the planner's own process beside the wall screen; lines of JSON in and out."""

import json
import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Lock
from time import perf_counter
from typing import TYPE_CHECKING

import typer

from bayapp.cli.options import StoreOption
from bayapp.cli.priority import lower_priority
from bayapp.cli.trouble import complain
from bayapp.paths import default_store
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.cli.plan.requests import PlanRequest, Requests
    from bayapp.cli.plan.search import Planner
    from bayapp.planning.core.work_order import WorkOrder
    from bayapp.planning.from_bay.shop import Shop

BEAT_S = 1.0


def plan_follow(store: StoreOption = None) -> None:
    """Answer each ``{"at": ..., "order": n}`` on standard input with lines of JSON on standard output.

    ``{"order": n, "work": {...}}`` for each better work order, then ``{"order": n, "done": true}``; every second or two
    ``{"alive": true}``. A newer request ends the search for the one before. Ends with its input.
    """
    lower_priority()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is meant for the screen, which ends this by ending its input
    from bayapp.cli.plan.forked import FORKS, PlannerApart, SearchEndedError, SearchStandsStillError
    from bayapp.cli.plan.limits import end_with_parent
    from bayapp.cli.plan.requests import Requests, RequestsByThread

    end_with_parent()
    # Whoever asked is gone: not even a step of the search is worth the time, and there is nothing to tidy up.
    requests = (Requests if FORKS else RequestsByThread)(sys.stdin.fileno(), complain, ended=lambda: os._exit(0))
    from bayapp.planning import Problem, Task, solve
    from bayapp.planning.core.effort import Effort
    from bayapp.planning.work import plan_work

    if not FORKS:
        solve(Problem((Task("begin", 1),)), Effort(0.1, workers=1))  # loads the solver before somebody waits for it
    planner = PlannerApart(plan_work) if FORKS else plan_work
    follower = Follower(planner, store or default_store(), requests, sys.stdout.fileno())
    try:
        follower.run()
    except SearchStandsStillError as still:
        complain(_("The search for a plan stood still."))
        raise typer.Exit(1) from still
    except (SearchEndedError, MemoryError) as ended:
        complain(_("The search for a plan broke off. This machine may have no memory left."))
        raise typer.Exit(1) from ended


class Follower:
    """Plans for the newest request, again and again, until there are no more."""

    def __init__(self, planner: "Planner", store: Path, requests: "Requests", answers: int) -> None:
        from bayapp.cli.plan.journal import FollowedJournal
        from bayapp.planning.from_bay.shop import Shop

        self._planner, self._store, self._requests = planner, store, requests
        self._journal = FollowedJournal(store)
        self._shop = Shop()
        self._last: WorkOrder | None = None
        self._answers = _Answers(answers, requests.end)

    def run(self) -> None:
        """Answer until the end of the requests."""
        try:
            while request := self._requests.take(self._answers.alive):
                self._answer(request)
        finally:
            self._journal.close()

    def _answer(self, request: "PlanRequest") -> None:
        from bayapp.planning.core.effort import Effort
        from bayapp.record import StoreProblem

        try:
            state = self._journal.state()
        except StoreProblem as problem:
            complain(f"{problem.where}: {problem.what} {problem.remedy}")
        else:
            order = self._planner(
                state,
                request.at,
                self._shop_now(),
                Effort(stopped=self._stopped),
                last=self._last,
                on_better=lambda better: self._answers.work(request.order, better),
            )
            self._answers.work(request.order, order)
            self._last = order if order.steps else self._last
        self._answers.done(request.order)

    def _stopped(self) -> bool:
        """Whether there is a newer request; the search asks again and again, which shows that it is alive."""
        self._answers.alive()
        return self._requests.waiting()

    def _shop_now(self) -> "Shop":
        """Return the shop as its settings describe it now; while they are wrong, as they did before."""
        from bayapp.cli.plan.shop import shop_of
        from bayapp.files.problems import BadFile

        try:
            self._shop = shop_of(self._store)
        except (BadFile, OSError) as wrong:
            complain(str(wrong))
        return self._shop


class _Answers:
    """Writes lines from any thread, whole; ``gone`` is called when nobody reads them any more."""

    def __init__(self, descriptor: int, gone: Callable[[], None]) -> None:
        self._descriptor, self._gone = descriptor, gone
        self._lock = Lock()
        self._last_written: tuple[int, WorkOrder] | None = None
        self._wrote_at = perf_counter()

    def alive(self) -> None:
        """Write that this process is alive, unless it wrote something a moment ago."""
        with self._lock:
            if perf_counter() - self._wrote_at >= BEAT_S:
                self._write(json.dumps({"alive": True}) + "\n")

    def work(self, number: int, order: "WorkOrder") -> None:
        """Write a work order, unless it was the last one written."""
        with self._lock:
            if self._last_written != (number, order):
                self._last_written = number, order
                self._write(f'{{"order":{number},"work":{order.model_dump_json()}}}\n')

    def done(self, number: int) -> None:
        """Write that nothing better comes for a request."""
        with self._lock:
            self._write(json.dumps({"order": number, "done": True}) + "\n")

    def _write(self, line: str) -> None:
        left = line.encode()
        self._wrote_at = perf_counter()
        try:
            while left:
                left = left[os.write(self._descriptor, left) :]
        except BrokenPipeError:
            self._gone()
