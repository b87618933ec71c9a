"""The day record from the wall: real presses, and a real process that writes the papers."""

import json
import os
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QProcess, QTimer
from pytestqt.qtbot import QtBot

from bayapp.files.library import Library
from bayapp.job import WriteNote
from bayapp.job.model.ids import JobId
from bayapp.screen.processes import report_runner
from bayapp.screen.processes.report_runner import ReportRunner, command
from tests.cli.run import bayapp
from tests.files.own_van import van_job
from tests.pages.bays import CAR, OPENING, HandBay, hand_bay
from tests.screen.walls import RunnerAtOnce, Walled, walled

LONG = 30_000
WRITING = "Writing the day record …"


@pytest.fixture(autouse=True)
def shop_in_utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")


@pytest.fixture
def runner(hand: HandBay) -> ReportRunner:
    return ReportRunner(hand.store)


@pytest.fixture
def writing(hand: HandBay, runner: ReportRunner) -> Iterator[Walled]:
    """A wall whose day records are really written."""
    with walled(hand, runner=runner) as found:
        found.answer_all()
        yield found


def ask_for_the_record(wall: Walled) -> None:
    """Press what a person presses; the practice car came in yesterday, so the day is asked for."""
    wall.press(wall.wall.next_bar.more)
    wall.choose("Day record")
    if "Today" in wall.choices():
        wall.choose("Today")


def written_in(papers: Path) -> dict[str, object]:
    (file,) = papers.glob("*.json")
    found: dict[str, object] = json.loads(file.read_text(encoding="utf-8"))
    return found


def test_the_page_says_that_it_is_written_and_then_where_it_lies(writing: Walled, qtbot: QtBot):
    ask_for_the_record(writing)
    assert writing.sentences() == WRITING
    assert not (writing.hand.store / "records").exists(), "the press waited for the papers"
    qtbot.waitUntil(lambda: writing.sentences() != WRITING, timeout=LONG)
    assert str(writing.hand.store / "records") in writing.sentences()
    assert sorted(p.suffix for p in (writing.hand.store / "records").iterdir()) == [".csv", ".json", ".pdf"]
    writing.press(writing.wall.pages.choices.close_button)
    assert writing.wall.car.isVisible()


def test_the_wall_and_the_command_tell_the_same(writing: Walled, qtbot: QtBot, tmp_path: Path):
    ask_for_the_record(writing)
    qtbot.waitUntil(lambda: writing.sentences() != WRITING, timeout=LONG)
    mine = written_in(writing.hand.store / "records")
    assert mine["entries"] == writing.events()
    assert mine["day"] == "2026-03-02"
    at = "2026-03-02T09:00:00.123Z"
    assert OPENING.isoformat(timespec="milliseconds") == at.replace("Z", "+00:00")
    words = [
        "--store",
        writing.hand.store,
        "--job",
        CAR,
        "--day",
        "2026-03-02",
        "--at",
        at,
        "--out",
        tmp_path / "papers",
    ]
    assert bayapp("report", *words).exit_code == 0
    assert written_in(tmp_path / "papers") == mine


def test_whatever_goes_wrong_is_said_in_its_own_words_and_the_board_goes_on(writing: Walled, qtbot: QtBot):
    (writing.hand.store / "records").write_text("a file stands where the folder should")
    ask_for_the_record(writing)
    qtbot.waitUntil(lambda: writing.sentences() != WRITING, timeout=LONG)
    assert "could not be written" in writing.sentences()
    assert os.strerror(17) in writing.sentences()  # EEXIST, POSIX.1-2017 <errno.h>
    writing.press(writing.wall.pages.choices.close_button)
    assert writing.wall.car.isVisible()
    writing.press(writing.wall.next_bar.more)
    (button,) = [b for b in writing.wall.pages.choices.buttons if b.title == "Day record"]
    assert button.detail == "was not written"


def test_a_program_that_cannot_be_started_is_reported(writing: Walled, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(report_runner, "command", lambda: ["/no/such/program"])
    ask_for_the_record(writing)
    qtbot.waitUntil(lambda: writing.sentences() != WRITING, timeout=LONG)
    assert "could not be written" in writing.sentences()


def test_a_program_that_takes_too_long_is_stopped_and_reported(
    writing: Walled, runner: ReportRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(report_runner, "command", lambda: ["/bin/sh", "-c", "exec sleep 60"])
    (limit,) = runner.findChildren(QTimer)
    limit.setInterval(50)
    ask_for_the_record(writing)
    qtbot.waitUntil(lambda: writing.sentences() != WRITING, timeout=LONG)
    assert "longer than two minutes" in writing.sentences()
    assert not runner.running


def test_whoever_went_on_is_not_called_back_and_a_second_press_starts_no_second_program(
    writing: Walled, runner: ReportRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(report_runner, "command", lambda: ["/bin/sh", "-c", "exec sleep 0.5"])
    ask_for_the_record(writing)
    (process,) = runner.findChildren(QProcess)
    first = process.processId()
    writing.press(writing.wall.pages.choices.close_button)
    ask_for_the_record(writing)
    assert (writing.sentences(), process.processId()) == (WRITING, first)
    writing.press(writing.wall.pages.choices.close_button)
    qtbot.waitUntil(lambda: not runner.running, timeout=LONG)
    assert writing.wall.car.isVisible()
    writing.press(writing.wall.next_bar.more)
    (button,) = [b for b in writing.wall.pages.choices.buttons if b.title == "Day record"]
    assert button.detail == "written"


def test_a_wall_that_is_closed_lets_the_record_come_to_its_end(
    hand: HandBay, runner: ReportRunner, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(report_runner, "CLOSING_MS", LONG)  # however busy this machine is
    with walled(hand, runner=runner) as wall:
        ask_for_the_record(wall)
    assert len(list((hand.store / "records").glob("*.pdf"))) == 1


def test_a_car_of_several_days_is_asked_for_the_day_today_first(hand: HandBay):
    class Remembering(RunnerAtOnce):
        days: list[str] = []

        def write(self, job: JobId, day: date, at: datetime) -> None:
            self.days.append(day.isoformat())
            super().write(job, day, at)

    remembering = Remembering(hand.store)
    with walled(hand, runner=remembering) as wall:
        for _ in range(2):
            wall.wait(timedelta(days=1) / timedelta(seconds=1))
            wall.answer_all()
            assert hand.bay.request(WriteNote(CAR, "photo taken")).accepted
        wall.press(wall.wall.next_bar.more)
        wall.choose("Day record")
        assert wall.choices() == ["Today", "3 Mar 2026", "2 Mar 2026", "1 Mar 2026"]
        assert remembering.days == []
        wall.choose("3 Mar 2026")
        assert remembering.days == ["2026-03-03"]
        assert str(hand.store / "records") in wall.sentences()


def test_a_car_of_one_day_is_not_asked_for_it(tmp_path: Path):
    with hand_bay(tmp_path / "store", cars=0) as hand:
        hand.bay.open_job(Library().load_job(van_job(tmp_path / "jobs"), "van"))
        with walled(hand) as wall:
            wall.press(wall.wall.next_bar.more)
            wall.choose("Day record")
            assert wall.choices() == []
            assert str(hand.store / "records") in wall.sentences()


def test_a_bundle_is_its_own_program(monkeypatch: pytest.MonkeyPatch):
    assert command()[1:] == ["-m", "bayapp"]
    monkeypatch.setattr("sys.frozen", True, raising=False)
    assert len(command()) == 1
