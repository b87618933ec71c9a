"""The planner's process beside the board: really started, really killed, and gone when the board is."""

import os
import signal
import sys
from collections.abc import Callable, Iterator
from datetime import time, timedelta
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import QProcess
from pytestqt.qtbot import QtBot

from bayapp.bay.planner_out import Outage, PlannerOut
from bayapp.files.shop.hours import WorkingHours
from bayapp.job import CloseJob, WriteNote
from bayapp.job.model.ids import JobId
from bayapp.planning.core.work_order import WorkOrder
from bayapp.screen import wiring
from bayapp.screen.processes import planner_process, planner_watch
from bayapp.screen.processes.planner_process import GIVES_UP_AFTER, LONGEST_PAUSE_MS, PlannerProcess, pause_ms
from tests.pages.bays import ASH, CAR, HandBay
from tests.screen.walls import walled

LONG = 60_000
ROOT = Path(__file__).parents[3]
BY_HAND = [sys.executable, "-m", "tests.cli.follow_by_hand"]


@pytest.fixture(autouse=True)
def by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """The process is real, its planner is made by hand, and nobody waits long for its return."""
    monkeypatch.chdir(ROOT)
    monkeypatch.setattr(planner_process, "command", lambda: BY_HAND)
    monkeypatch.setattr(planner_process, "FIRST_PAUSE_MS", 10)
    monkeypatch.setattr(planner_process, "LOOK_AHEAD_MS", 1)
    monkeypatch.setattr(planner_process, "TOLD_AFTER_MS", 1)
    monkeypatch.setattr(planner_watch, "OWED_MS", LONG)


def says(monkeypatch: pytest.MonkeyPatch, script: str) -> None:
    """Let the process be a shell that runs this instead."""
    monkeypatch.setattr(planner_process, "command", lambda: ["/bin/sh", "-c", script])


@pytest.fixture
def planner(hand: HandBay) -> Iterator[PlannerProcess]:
    found = PlannerProcess(hand.store, hand.bay)
    yield found
    found.stop()
    assert not found.running


def is_there(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def has_come_to(planner: PlannerProcess, heard: list[int], asked: int, answers: int) -> bool:
    return planner.asked == asked and len(heard) == answers


ANSWER = (
    'answer() { echo "{\\"order\\":$1,\\"work\\":{\\"status\\":\\"unknown\\",'
    '\\"made_for\\":\\"2026-03-02T0$2:00:00Z\\",\\"entry\\":\\"2026-03-02T10:00:00Z\\"}}"; }'
)
"""In a shell: answer to a request of this number with a plan made for this hour, which knows all entries.

The bay of these tests opens at nine.
"""
OLD = ANSWER.replace("T10", "T08")
"""The same by a planner that knows nothing of the last hour."""


def next_order(qtbot: QtBot, planner: PlannerProcess, act: Callable[[], object]) -> WorkOrder:
    with qtbot.waitSignal(planner.planned, timeout=LONG) as blocker:
        act()
    assert isinstance(blocker.args, list)
    (order,) = blocker.args
    assert isinstance(order, WorkOrder)
    return order


def some_change(hand: HandBay) -> None:
    assert hand.bay.request(WriteNote(CAR, "looked at it", (), ASH)).accepted


def test_the_bay_gets_an_order_of_the_present_and_its_listeners_hear(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    heard: list[WorkOrder | None] = []
    hand.bay.subscribe(lambda: heard.append(hand.bay.advice.order))
    order = next_order(qtbot, planner, planner.begin)
    assert hand.bay.advice.order == order
    assert heard[-1] == order
    assert (order.made_for, order.entry) == (hand.bay.now(), hand.bay.state.last_at)


def test_nothing_is_started_before_the_board_stands(hand: HandBay, planner: PlannerProcess, qtbot: QtBot):
    some_change(hand)
    qtbot.wait(1)  # lets the event loop turn
    assert not planner.running


def test_every_accepted_change_is_planned_anew_and_those_of_one_turn_together(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    next_order(qtbot, planner, planner.begin)
    asked = planner.asked

    def three_changes() -> None:
        for _ in range(3):
            hand.wait(1)
            some_change(hand)

    order = next_order(qtbot, planner, three_changes)
    assert order.entry == hand.bay.state.last_at
    assert planner.asked == asked + 1


def test_an_order_that_was_taken_or_an_alert_that_was_raised_asks_for_nothing(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    order = next_order(qtbot, planner, planner.begin)
    asked = planner.asked
    hand.bay.advice.take_order(order)
    hand.update_alerts()
    qtbot.wait(1)
    assert planner.asked == asked


def test_it_asks_again_when_a_clock_opens_or_lapses_and_at_least_every_five_minutes(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    next_order(qtbot, planner, planner.begin)
    at = hand.bay.now()
    moments = [m for c in hand.clocks() for m in (c.opens_at, c.lapses_at) if m and m > at]
    soonest = min(moments) - at
    assert soonest < timedelta(seconds=60)
    qtbot.waitUntil(lambda: planner.asks_again_in_ms is not None, timeout=LONG)
    assert planner.asks_again_in_ms is not None
    assert 0 < planner.asks_again_in_ms - soonest / timedelta(milliseconds=1) <= 2
    hand.go_to(max(moments))
    next_order(qtbot, planner, lambda: some_change(hand))
    qtbot.waitUntil(lambda: planner.asks_again_in_ms is not None, timeout=LONG)
    assert planner.asks_again_in_ms in (300_000, 300_001)


def test_time_that_passes_is_planned_anew(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_process, "AGAIN", timedelta(milliseconds=20))
    next_order(qtbot, planner, planner.begin)
    hand.wait(30)
    order = next_order(qtbot, planner, lambda: None)
    while order.made_for != hand.bay.now():  # one more may have been on its way
        order = next_order(qtbot, planner, lambda: None)


def test_a_process_that_is_killed_comes_back_and_plans_and_has_not_been_missed(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_process, "TOLD_AFTER_MS", LONG)
    lost: list[PlannerOut] = []
    planner.lost.connect(lost.append)
    next_order(qtbot, planner, planner.begin)
    first = planner.process_id()
    next_order(qtbot, planner, lambda: os.kill(first, signal.SIGKILL))
    assert planner.process_id() not in (0, first)
    assert not is_there(first)
    assert lost == []


def lost_as(qtbot: QtBot, planner: PlannerProcess, outage: Outage, act: Callable[[], object]) -> PlannerOut:
    with qtbot.waitSignal(planner.lost, timeout=LONG, check_params_cb=lambda out: out.outage is outage) as blocker:
        act()
    assert isinstance(blocker.args, list)
    (out,) = blocker.args
    assert isinstance(out, PlannerOut)
    return out


def test_a_planner_that_never_works_is_given_up_with_its_own_words_and_tried_ever_more_seldom(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    says(monkeypatch, "echo 'The engine is missing.' >&2; exit 3")
    pauses: list[int | None] = []
    (process,) = planner.findChildren(QProcess)
    process.finished.connect(lambda *_: pauses.append(planner.starts_again_in_ms))
    out = lost_as(qtbot, planner, Outage.GIVEN_UP, planner.begin)
    assert (out.said, out.since) == ("The engine is missing.", hand.bay.now())
    assert hand.bay.advice.planner_out == out
    qtbot.waitUntil(lambda: len(pauses) == GIVES_UP_AFTER + 1, timeout=LONG)
    assert pauses == [10, 20, 40, 80, 160]


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="stops a process as POSIX can")
def test_a_planner_that_is_stopped_is_told_and_ended_and_its_order_given_up_until_a_new_one_plans(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_watch, "LOOK_MS", 800)
    monkeypatch.setattr(planner_process, "FIRST_PAUSE_MS", 1_000)
    next_order(qtbot, planner, planner.begin)
    first = planner.process_id()
    out = lost_as(qtbot, planner, Outage.ENDED, lambda: os.kill(first, signal.SIGSTOP))
    assert hand.bay.advice.order is None
    assert hand.bay.advice.planner_out == out
    qtbot.waitUntil(lambda: not is_there(first), timeout=LONG)
    some_change(hand)
    qtbot.waitUntil(lambda: hand.bay.advice.order is not None, timeout=LONG)
    assert hand.bay.advice.order
    assert hand.bay.advice.order.entry == hand.bay.state.last_at
    assert hand.bay.advice.planner_out is None


def test_an_order_that_is_owed_is_told_to_be_late_and_the_slow_planner_may_go_on(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_watch, "OWED_MS", 10)
    says(monkeypatch, f"{ANSWER}; read a; answer 1 7; read b; read c; answer 3 8; exec sleep 60")
    next_order(qtbot, planner, planner.begin)
    process = planner.process_id()
    lost_as(qtbot, planner, Outage.LATE, lambda: some_change(hand))
    assert hand.bay.advice.order is None
    assert next_order(qtbot, planner, lambda: some_change(hand)).made_for.hour == 8
    assert planner.process_id() == process
    assert hand.bay.advice.planner_out is None


def test_a_planner_that_lives_and_never_comes_to_an_order_is_ended(
    qtbot: QtBot, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_watch, "FIRST_ORDER_MS", 10)
    says(monkeypatch, "read a; while :; do echo '{\"alive\":true}'; sleep 0.1; done")
    lost_as(qtbot, planner, Outage.GIVEN_UP, planner.begin)


def test_an_order_of_an_older_state_than_was_asked_for_is_not_used(
    qtbot: QtBot,
    hand: HandBay,
    planner: PlannerProcess,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
):
    says(monkeypatch, f'{OLD}; read a; answer 1 7; echo \'{{"order":1,"done":true}}\'; exec sleep 60')
    heard: list[WorkOrder] = []
    planner.planned.connect(heard.append)
    lost_as(qtbot, planner, Outage.ENDED, planner.begin)
    assert heard == []
    assert hand.bay.advice.order is None
    assert "knows entries only up to" in caplog.text


def test_a_planner_that_cannot_read_the_store_gives_no_order_and_says_why(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    done = 'echo The store is gone. >&2; echo \'{"order":1,"done":true}\''
    says(monkeypatch, f"read a; {done}; exec sleep 60")
    assert lost_as(qtbot, planner, Outage.ENDED, planner.begin).said == "The store is gone."


def test_the_pause_between_trials_doubles_and_stays_bounded():
    assert [pause_ms(failures) for failures in (1, 2, 3, 500)] == [10, 20, 40, LONGEST_PAUSE_MS]


def test_a_program_that_cannot_be_started_is_reported_too(
    qtbot: QtBot, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(planner_process, "command", lambda: ["/no/such/program"])
    assert lost_as(qtbot, planner, Outage.GIVEN_UP, planner.begin).said
    assert not planner.running


def test_an_empty_bay_needs_no_planner_and_the_next_car_gets_one(qtbot: QtBot, hand: HandBay, planner: PlannerProcess):
    next_order(qtbot, planner, planner.begin)
    process = planner.process_id()
    assert hand.bay.request(CloseJob(CAR)).accepted
    qtbot.waitUntil(lambda: not planner.running, timeout=LONG)
    assert not is_there(process)
    assert hand.bay.advice.order is None
    job = hand.bay.state.jobs[CAR].job.model_copy(update={"id": JobId("next")})
    order = next_order(qtbot, planner, lambda: hand.bay.open_job(job))
    assert {step.job for step in order.steps} == {"next"}


def test_a_car_that_comes_while_the_process_still_ends_gets_a_new_one(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    next_order(qtbot, planner, planner.begin)
    first = planner.process_id()
    job = hand.bay.state.jobs[CAR].job.model_copy(update={"id": JobId("next")})
    assert hand.bay.request(CloseJob(CAR)).accepted
    qtbot.waitUntil(lambda: hand.bay.advice.order is None, timeout=LONG)  # told to rest, still ending
    order = next_order(qtbot, planner, lambda: hand.bay.open_job(job))
    assert {step.job for step in order.steps} == {"next"}
    assert planner.process_id() != first


def test_nothing_is_left_once_it_is_stopped_and_nothing_starts_any_more(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess
):
    next_order(qtbot, planner, planner.begin)
    process = planner.process_id()
    planner.stop()
    assert not is_there(process)
    some_change(hand)
    qtbot.wait(1)
    assert not planner.running


def test_nonsense_is_logged_as_a_fault_of_ours_and_what_follows_counts(
    qtbot: QtBot, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    says(monkeypatch, f"{ANSWER}; read line; echo nonsense; answer 1 7; exec sleep 60")
    assert next_order(qtbot, planner, planner.begin).status == "unknown"
    (record,) = [r for r in caplog.records if r.levelname == "ERROR"]
    assert "fault of bayapp's own" in record.getMessage()
    assert "nonsense" in record.getMessage()


def test_a_planner_that_says_nothing_but_nonsense_is_ended(
    qtbot: QtBot, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    says(monkeypatch, "read line; while :; do echo nonsense; sleep 0.001; done")
    lost_as(qtbot, planner, Outage.GIVEN_UP, planner.begin)
    assert "fault of bayapp's own" in caplog.text


def test_a_line_without_an_end_is_not_kept(
    qtbot: QtBot,
    planner: PlannerProcess,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    tmp_path: Path,
):
    monkeypatch.setattr(planner_process, "LONGEST_LINE", 1_000)
    been_here = tmp_path / "been here"
    endless = f"touch '{been_here}'; head -c 5000 /dev/zero; exec sleep 60"
    says(monkeypatch, f"{ANSWER}; if [ ! -e '{been_here}' ]; then {endless}; fi; read line; answer 1 7; exec sleep 60")
    assert next_order(qtbot, planner, planner.begin).made_for.hour == 7
    (record,) = [r for r in caplog.records if r.levelname == "ERROR"]
    assert "a line without an end" in record.getMessage()


def test_an_answer_to_an_older_request_counts_only_while_there_is_none_to_a_newer(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, monkeypatch: pytest.MonkeyPatch
):
    later = "read d; answer 2 8; read e; answer 1 7; read f; answer 2 9; exec sleep 60"
    says(monkeypatch, f"{ANSWER}; read a; read b; read c; answer 1 7; {later}")
    hours: list[int] = []
    planner.planned.connect(lambda order: hours.append(order.made_for.hour))
    planner.begin()
    for asked, answers in ((1, 0), (2, 0), (3, 1), (4, 2), (5, 2), (6, 3)):
        qtbot.waitUntil(partial(has_come_to, planner, hours, asked, answers), timeout=LONG)
        if asked < 6:
            some_change(hand)
    assert hours == [7, 8, 9], "the answer to the first of seven o'clock came again after that of eight"


def test_the_words_of_the_planner_go_to_the_log(
    qtbot: QtBot, hand: HandBay, planner: PlannerProcess, caplog: pytest.LogCaptureFixture
):
    (hand.store / "settings.toml").write_text("volume = 'loud'")
    next_order(qtbot, planner, planner.begin)
    qtbot.waitUntil(lambda: "the planner says" in caplog.text, timeout=LONG)
    assert "settings.toml" in caplog.text


def test_hours_that_are_set_on_the_wall_are_planned_by_at_once(qtbot: QtBot, hand: HandBay):
    with walled(hand) as wall:
        wiring.add_planner(wall.wall, hand.store, wall.openers)
        (planner,) = wall.wall.findChildren(PlannerProcess)
        next_order(qtbot, planner, lambda: None)
        asked = planner.asked
        wall.openers.settings.change(lambda now: now.model_copy(update={"theme": "light"}))
        qtbot.wait(1)
        assert planner.asked == asked
        hours = (WorkingHours(time(8), time(12)),)
        next_order(
            qtbot, planner, lambda: wall.openers.settings.change(lambda now: now.model_copy(update={"hours": hours}))
        )
        assert planner.asked == asked + 1
