"""A search as somebody waits for it: the line on the terminal, and Ctrl-C once and twice."""

import io
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Event, Thread

import pytest

from bayapp.cli.plan import search as searching
from bayapp.cli.plan.search import Found, InterruptibleSearch
from bayapp.job import BayState, fold
from bayapp.planning.core.effort import USUAL, Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.shop import Shop
from tests.cli.hand_planner import HandPlanner, one_by_one
from tests.record.samples import START, opened


class Terminal(io.StringIO):
    """Remembers what is written; ``shown`` is set when something was."""

    def __init__(self, watched: bool = True) -> None:
        super().__init__()
        self.watched, self.shown = watched, Event()

    def isatty(self) -> bool:
        return self.watched

    def flush(self) -> None:
        self.shown.set()


@pytest.fixture
def state() -> BayState:
    return fold([opened("car")])


@pytest.fixture(autouse=True)
def shown_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searching, "SHOWN_AFTER", timedelta())
    monkeypatch.setattr(searching, "LOOK_S", 0.01)


def search(planner: HandPlanner, state: BayState, screen: Terminal) -> Found:
    return InterruptibleSearch(planner, state, START, Shop(), 5.0).run(screen)


def press_ctrl_c_once(event: Event) -> None:
    def press() -> None:
        assert event.wait(60)
        os.kill(os.getpid(), signal.SIGINT)

    Thread(target=press, daemon=True).start()


def test_the_line_says_how_it_goes_and_is_wiped_at_the_end(state: BayState):
    screen, planner = Terminal(), HandPlanner(waits=True)
    press_ctrl_c_once(screen.shown)
    found = search(planner, state, screen)
    assert found == Found(one_by_one(state, START), interrupted=True)
    first, *_, blank, rest = screen.getvalue().split("\r")[1:]
    assert "finish 08:20:00 (Ctrl-C takes it)" in first
    assert (blank.strip(), rest) == ("", "")
    assert len(blank) >= len(first.rstrip())


def test_before_there_is_an_order_the_line_says_so(state: BayState):
    class Slow(HandPlanner):
        def __call__(
            self, state: BayState, at: datetime, shop: Shop, effort: Effort = USUAL, **more: object
        ) -> WorkOrder:
            assert screen.shown.wait(60)
            return one_by_one(state, at)

    screen = Terminal()
    assert not search(Slow(), state, screen).interrupted
    assert "no order yet" in screen.getvalue()


def test_nothing_is_written_where_nobody_watches(state: BayState):
    screen, planner = Terminal(watched=False), HandPlanner(waits=True)
    press_ctrl_c_once(planner.begun)
    assert search(planner, state, screen).interrupted
    assert screen.getvalue() == ""


def test_ctrl_c_does_what_it_did_before_once_the_search_is_over(state: BayState):
    before = signal.getsignal(signal.SIGINT)
    search(HandPlanner(), state, Terminal())
    assert signal.getsignal(signal.SIGINT) is before


def test_what_the_planner_raises_is_raised(state: BayState):
    def fails(*_: object, **__: object) -> WorkOrder:
        raise ZeroDivisionError("a fault of ours")

    with pytest.raises(ZeroDivisionError):
        InterruptibleSearch(fails, state, START, Shop(), 5.0).run(Terminal())


DEAF = """
import sys
from threading import Event
from bayapp.cli.plan.search import InterruptibleSearch
from bayapp.job import BayState
from bayapp.planning.from_bay.shop import Shop
from datetime import UTC, datetime

def deaf(state, at, shop, effort, **more):
    print("begun", flush=True)
    Event().wait(60)

InterruptibleSearch(deaf, BayState(), datetime(2026, 11, 25, tzinfo=UTC), Shop(), 5.0).run(sys.stderr)
"""


def test_a_second_ctrl_c_gives_up_although_the_search_does_not_listen():
    with subprocess.Popen([sys.executable, "-c", DEAF], stdout=-1, stderr=-1, text=True) as child:
        assert child.stdout
        assert child.stderr
        assert child.stdout.readline() == "begun\n"
        press: Callable[[], None] = lambda: child.send_signal(signal.SIGINT)  # noqa: E731 (pressed again and again)
        while child.poll() is None:  # two that come together may be taken for one
            press()
            Event().wait(0.05)
        assert child.returncode == 130  # 128 and the number of SIGINT, POSIX.1-2017, XCU 2.8.2 and <signal.h>
        assert child.stderr.read() == "\nGiven up.\n"
