"""The planner's own process: real pipes, a real store that another connection writes to meanwhile."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import time
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from bayapp.cli.plan import follow as follow_module
from bayapp.cli.plan import requests as requests_module
from bayapp.cli.plan.follow import Follower
from bayapp.cli.plan.requests import Requests
from bayapp.cli.priority import LESS_URGENT
from bayapp.job.model.ids import JobId, StepKind
from bayapp.job.model.instant import write_instant
from bayapp.planning.core.work_order import WorkOrder
from bayapp.record import open_journal
from bayapp.record.journal import Journal
from tests.cli.hand_planner import HandPlanner
from tests.record.samples import ASH, ROOF, STAMP, air, at, closed, finished, opened, started

LONG_S = 60
ALIVE = {"alive": True}


class Talk:
    """Both ends of a follower's pipes."""

    def __init__(self, asks: int, answers: int) -> None:
        self._asks, self._answers = asks, os.fdopen(answers, "r", encoding="utf-8")
        self.number = 0

    def ask(self, minutes: float = 0) -> int:
        self.number += 1
        self.say(json.dumps({"at": write_instant(at(minutes)), "order": self.number}))
        return self.number

    def say(self, line: str) -> None:
        os.write(self._asks, f"{line}\n".encode())

    def hear(self) -> dict[str, Any]:
        """Return the next answer, whatever it says of being alive before."""
        while (found := self.hear_anything()) == ALIVE:
            pass
        return found

    def hear_anything(self) -> dict[str, Any]:
        line = self._answers.readline()
        assert line, "it ended before it answered"
        found: dict[str, Any] = json.loads(line)
        return found

    def orders_until_done(self, number: int) -> list[WorkOrder]:
        """Return the work orders of this request; those of an older one may come before."""
        found = []
        while (answer := self.hear()) != {"order": number, "done": True}:
            if answer["order"] == number:
                found.append(WorkOrder.model_validate(answer["work"]))
        return found

    def hang_up(self) -> None:
        os.close(self._asks)

    def close(self) -> None:
        self._answers.close()


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return tmp_path / "store"


@pytest.fixture
def writer(store: Path) -> Iterator[Journal]:
    """The wall screen's own journal, with a car in the bay."""
    journal = open_journal(store)
    journal.append([opened("car")], STAMP)
    yield journal
    journal.close()


@pytest.fixture
def complaints() -> list[str]:
    return []


@pytest.fixture
def follow(store: Path, complaints: list[str]) -> Iterator[Callable[[HandPlanner], Talk]]:
    """Start a follower in a thread, on real pipes, with a planner that obeys the test."""
    begun: list[tuple[Talk, Thread]] = []

    def start(planner: HandPlanner) -> Talk:
        in_, asks = os.pipe()
        answers, out = os.pipe()
        follower = Follower(planner, store, Requests(in_, complaints.append), out)

        def run() -> None:
            follower.run()
            os.close(out)
            os.close(in_)

        thread = Thread(target=run)
        thread.start()
        talk = Talk(asks, answers)
        begun.append((talk, thread))
        return talk

    yield start
    for talk, thread in begun:
        talk.hang_up()
        thread.join(LONG_S)
        assert not thread.is_alive(), "the end of the input did not end it"
        talk.close()


Follow = Callable[[HandPlanner], Talk]


def test_each_request_is_answered_with_what_the_journal_holds_then(writer: Journal, follow: Follow):
    planner = HandPlanner()
    talk = follow(planner)
    (first,) = talk.orders_until_done(talk.ask(1))
    assert (first.made_for, first.entry) == (at(1), at(0))
    writer.append([started("car", 2), finished("car", 3)], STAMP)
    (second,) = talk.orders_until_done(talk.ask(3))
    assert (second.made_for, second.entry) == (at(3), at(3))
    states = [state for state, *_ in planner.calls]
    assert states[1].jobs[JobId("car")].zones[ROOF].rungs[0].by == ASH
    assert [last for *_, last in planner.calls] == [None, first], "the last order is kept for the next"


def test_a_newer_request_ends_the_search_at_once(writer: Journal, follow: Follow):
    planner = HandPlanner(waits=True)
    talk = follow(planner)
    first = talk.ask(1)
    assert planner.begun.wait(LONG_S)
    assert talk.hear()["order"] == first
    second = talk.ask(2)
    assert talk.hear() == {"order": first, "done": True}
    answer = talk.hear()
    assert (answer["order"], answer["work"]["made_for"]) == (second, write_instant(at(2)))


def test_it_says_that_it_is_alive_while_it_waits_and_while_it_searches(
    writer: Journal, follow: Follow, monkeypatch: pytest.MonkeyPatch
):
    for module in (follow_module, requests_module):
        monkeypatch.setattr(module, "BEAT_S", 0.01)
    planner = HandPlanner(waits=True)
    talk = follow(planner)
    assert talk.hear_anything() == ALIVE
    talk.ask(1)
    while "work" not in talk.hear_anything():
        pass
    assert talk.hear_anything() == ALIVE
    assert not planner.calls[1:], "it still searches"


def test_of_requests_that_came_together_only_the_newest_is_searched_for(writer: Journal, follow: Follow):
    planner = HandPlanner(waits=True)
    talk = follow(planner)
    talk.ask(1)
    assert planner.begun.wait(LONG_S)
    talk.say("\n".join(json.dumps({"at": write_instant(at(n)), "order": n}) for n in (7, 8, 9)))
    while talk.hear()["order"] != 9:
        pass
    assert planner.calls[-1][1] == at(9)
    assert len(planner.calls) <= 3, "the reader may hand over at most one between"


def test_the_end_of_the_input_ends_a_search_too(writer: Journal, follow: Follow):
    planner = HandPlanner(waits=True)
    follow(planner).ask(1)
    assert planner.begun.wait(LONG_S)  # the fixture hangs up and waits for the end


def test_whoever_reads_no_more_ends_it(writer: Journal, store: Path):
    in_, asks = os.pipe()
    answers, out = os.pipe()
    os.close(answers)
    os.write(asks, json.dumps({"at": write_instant(at(1)), "order": 1}).encode() + b"\n")
    Follower(HandPlanner(waits=True), store, Requests(in_, print), out).run()  # would wait for ever
    os.close(asks)
    os.close(out)


@pytest.mark.parametrize("line", ["no JSON", '{"at": "noon", "order": 1}', '{"order": 1}', "x" * 50_000])
def test_what_is_no_request_is_reported_and_the_next_is_answered(
    writer: Journal, follow: Follow, complaints: list[str], line: str
):
    talk = follow(HandPlanner())
    talk.say(line)
    assert len(talk.orders_until_done(talk.ask(1))) == 1
    (complaint,) = complaints
    assert "is no request for a plan" in complaint
    assert len(complaint) < 500


def test_trouble_with_the_store_is_reported_and_ends_nothing(
    store: Path, follow: Follow, capsys: pytest.CaptureFixture[str]
):
    talk = follow(HandPlanner())
    assert talk.orders_until_done(talk.ask(1)) == []
    assert "There is no journal here yet." in capsys.readouterr().err
    journal = open_journal(store)
    journal.append([opened("car")], STAMP)
    assert len(talk.orders_until_done(talk.ask(2))) == 1
    journal.close()


def test_hours_and_people_follow_the_settings_and_wrong_ones_change_nothing(
    writer: Journal, store: Path, follow: Follow, capsys: pytest.CaptureFixture[str]
):
    planner = HandPlanner()
    talk = follow(planner)
    talk.orders_until_done(talk.ask())
    for text in ('hours = ["08:00-12:30", "13:00-24:00"]\ncannot = { Ash = ["polish"] }', 'hours = "all day"'):
        (store / "settings.toml").write_text(f'format = "bayapp-settings/1"\n{text}\n')
        talk.orders_until_done(talk.ask())
    shops = [shop for _, _, shop, _ in planner.calls]
    assert (shops[0].hours, shops[0].cannot) == ((), {})
    assert shops[1].hours == ((time(8), time(12, 30)), (time(13), time.max))
    assert shops[1].cannot == {ASH: {StepKind.POLISH}}
    assert shops[2] == shops[1]
    assert "settings.toml" in capsys.readouterr().err


def test_cars_that_left_are_not_planned(writer: Journal, follow: Follow):
    talk = follow(HandPlanner())
    writer.append([opened("other", 1), closed("car", 2), air(3)], STAMP)
    (order,) = talk.orders_until_done(talk.ask(4))
    assert {step.job for step in order.steps} == {"other"}


class Process:
    """``bayapp plan-follow`` as the wall screen runs it."""

    def __init__(self, store: Path) -> None:
        in_, asks = os.pipe()
        answers, out = os.pipe()
        command = [sys.executable, "-m", "bayapp", "plan-follow", f"--store={store}"]
        self.child = subprocess.Popen(command, stdin=in_, stdout=out, stderr=subprocess.PIPE)
        os.close(in_)
        os.close(out)
        self.talk = Talk(asks, answers)

    def end(self) -> tuple[int, str]:
        self.talk.hang_up()
        assert self.child.stderr
        said = self.child.stderr.read().decode()
        return self.child.wait(LONG_S), said


@pytest.fixture
def process(writer: Journal, store: Path) -> Iterator[Process]:
    found = Process(store)
    yield found
    found.child.kill()
    found.child.communicate()
    found.talk.close()


def test_the_real_process_plans_what_is_written_meanwhile_and_ends_with_its_input(writer: Journal, process: Process):
    talk = process.talk
    first = talk.orders_until_done(talk.ask(0))
    assert first[-1].status == "optimal"
    assert {(s.zone, s.step) for s in first[-1].steps} == {
        (z, s) for z in ("roof", "bonnet") for s in ("wipe", "coat-1")
    }
    writer.append([started("car", 1), finished("car", 3)], STAMP)
    second = talk.orders_until_done(talk.ask(3))
    assert (ROOF, "wipe") not in {(s.zone, s.step) for s in second[-1].steps}
    assert process.end() == (0, "")


def test_the_real_process_lets_others_come_first_and_leaves_ctrl_c_to_the_screen(process: Process):
    talk = process.talk
    talk.orders_until_done(talk.ask(0))
    mine = os.getpriority(os.PRIO_PROCESS, 0)
    assert os.getpriority(os.PRIO_PROCESS, process.child.pid) == min(19, mine + LESS_URGENT)
    process.child.send_signal(signal.SIGINT)
    assert len(talk.orders_until_done(talk.ask(1))) >= 1
    assert process.end() == (0, "")
