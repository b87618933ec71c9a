"""A planner in a child: the child is real, its planner is made by hand."""

import os
import select
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from bayapp.cli.plan import forked, limits
from bayapp.cli.plan.forked import FORKS, PlannerApart, SearchEndedError, SearchStandsStillError
from bayapp.job import BayState, fold
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.shop import Shop
from tests.cli.hand_planner import HandPlanner, one_by_one
from tests.record.samples import at, opened

pytestmark = pytest.mark.skipif(not FORKS, reason="plans are made apart where a process may be forked")

STATE = fold([opened("car")])
LONG_S = 60


def ask(planner: Any, **more: Any) -> WorkOrder:
    return PlannerApart(planner)(STATE, at(1), Shop(), **more)


def children() -> list[str]:
    return Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()


def test_every_order_of_the_child_is_passed_on_and_the_last_is_returned():
    heard: list[WorkOrder] = []
    order = ask(HandPlanner(), on_better=heard.append)
    assert heard == [order] == [one_by_one(STATE, at(1))]


def test_what_the_child_loads_and_keeps_goes_with_it():
    planner = HandPlanner()
    before = children()
    ask(planner)
    assert planner.calls == []
    assert children() == before


def test_a_stopped_child_is_gone_at_once_and_its_best_order_is_returned():
    before = children()
    assert ask(HandPlanner(waits=True), effort=Effort(stopped=lambda: True)) == one_by_one(STATE, at(1))
    assert children() == before


def test_it_is_not_stopped_before_there_is_any_order():
    def slow(
        state: BayState, at: datetime, shop: Shop, effort: Effort, *, on_better: Callable[[WorkOrder], None], **_: Any
    ) -> WorkOrder:
        Event().wait(0.2)
        on_better(one_by_one(state, at))
        Event().wait(LONG_S)
        raise AssertionError

    assert ask(slow, effort=Effort(stopped=lambda: True)) == one_by_one(STATE, at(1))


def test_what_the_planner_raises_is_raised_here_with_its_place():
    def wrong(*_: Any, **__: Any) -> WorkOrder:
        raise KeyError("no such zone")

    with pytest.raises(KeyError, match="no such zone") as raised:
        ask(wrong)
    assert "in wrong" in raised.value.__notes__[0]


def test_a_child_that_dies_is_reported():
    def dying(*_: Any, **__: Any) -> WorkOrder:
        os.kill(os.getpid(), signal.SIGKILL)
        raise AssertionError

    with pytest.raises(SearchEndedError):
        ask(dying)


def test_a_child_that_is_stopped_is_noticed_and_gone(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(forked, "BEAT_S", 0.01)
    monkeypatch.setattr(forked, "SILENT_S", 0.5)
    before = children()

    def stopping(*_: Any, **__: Any) -> WorkOrder:
        os.kill(os.getpid(), signal.SIGSTOP)
        raise AssertionError

    with pytest.raises(SearchStandsStillError):
        ask(stopping)
    assert children() == before


def test_a_child_that_only_takes_long_is_not_taken_for_stopped(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(forked, "BEAT_S", 0.01)
    monkeypatch.setattr(forked, "SILENT_S", 0.5)

    def slow(state: BayState, at: datetime, shop: Shop, effort: Effort, **_: Any) -> WorkOrder:
        Event().wait(0.6)
        return one_by_one(state, at)

    assert ask(slow) == one_by_one(STATE, at(1))


def test_a_child_that_takes_ever_more_memory_is_refused_it(monkeypatch: pytest.MonkeyPatch):
    own = int(Path("/proc/self/statm").read_text().split()[5]) * os.sysconf("SC_PAGESIZE")
    monkeypatch.setattr(limits, "MOST_BYTES", own + (64 << 20))

    def greedy(*_: Any, **__: Any) -> WorkOrder:
        taken = [bytes(1 << 20) for _ in range(10_000)]
        raise AssertionError(len(taken))

    with pytest.raises(MemoryError):
        ask(greedy)


PROGRAM = """
import os, sys
from threading import Event
from tests.cli.plan.test_forked import PlannerApart, Shop, STATE, at, one_by_one
def planner(state, at, shop, effort, *, on_better, **_):
    on_better(one_by_one(state, at))
    sys.stdout.write(f"{os.getpid()}\\n"); sys.stdout.flush()
    Event().wait(600)
PlannerApart(planner)(STATE, at(1), Shop())
"""


@pytest.mark.parametrize("stopped", [False, True])
def test_a_child_ends_when_its_parent_is_killed_even_if_it_is_stopped(stopped: bool):
    with subprocess.Popen([sys.executable, "-c", PROGRAM], stdout=subprocess.PIPE) as parent:
        assert parent.stdout
        child = int(parent.stdout.readline())
        watched = os.pidfd_open(child)
        if stopped:
            os.kill(child, signal.SIGSTOP)
        parent.kill()
        ended, _, _ = select.select([watched], [], [], LONG_S)  # see pidfd_open(2): readable once it has ended
        os.close(watched)
    assert ended
