"""The day record from the wall: real presses, and a real process that writes the papers."""

import json
import os
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QProcess, QSize, QTimer
from PySide6.QtGui import QImage
from PySide6.QtPdf import QPdfDocument
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot

from bayapp.files.library import Library
from bayapp.job import WriteNote
from bayapp.job.model.ids import JobId
from bayapp.screen.cars import day_record_controller
from bayapp.screen.cars.day_record import DayRecordPage
from bayapp.screen.processes import drives, paper_errands, report_runner
from bayapp.screen.processes.paper_errands import CannotPrintError, print_pdf
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


def shown_paper(wall: Walled, qtbot: QtBot) -> DayRecordPage:
    """Wait until the paper is shown, and return its page."""
    qtbot.waitUntil(lambda: any(page.isVisible() for page in wall.wall.findChildren(DayRecordPage)), timeout=LONG)
    (page,) = wall.wall.findChildren(DayRecordPage)
    return page


def record_button(wall: Walled) -> str:
    """What stands under "Day record" on the page "more"."""
    wall.press(wall.wall.next_bar.more)
    (button,) = [b for b in wall.wall.pages.choices.buttons if b.isVisible() and b.title == "Day record"]
    return button.detail


def written_in(papers: Path) -> dict[str, object]:
    (file,) = papers.glob("*.json")
    found: dict[str, object] = json.loads(file.read_text(encoding="utf-8"))
    return found


def test_the_page_says_that_it_is_written_and_then_where_it_lies(writing: Walled, qtbot: QtBot):
    ask_for_the_record(writing)
    assert writing.sentences() == WRITING
    assert not (writing.hand.store / "records").exists(), "the press waited for the papers"
    page = shown_paper(writing, qtbot)
    assert str(writing.hand.store / "records") in page.subtitle
    assert sorted(p.suffix for p in (writing.hand.store / "records").iterdir()) == [".csv", ".json", ".pdf"]
    writing.press(page.close_button)
    assert not page.isVisible()


def test_the_wall_and_the_command_tell_the_same(writing: Walled, qtbot: QtBot, tmp_path: Path):
    ask_for_the_record(writing)
    shown_paper(writing, qtbot)
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
    assert "Today" in writing.choices(), "one level up is the question for the day"
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
    assert writing.wall.pages.choices.title == "More"
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
        (page,) = wall.wall.findChildren(DayRecordPage)
        assert str(hand.store / "records") in page.subtitle


def test_a_car_of_one_day_is_not_asked_for_it(tmp_path: Path):
    with hand_bay(tmp_path / "store", cars=0) as hand:
        hand.bay.open_job(Library().load_job(van_job(tmp_path / "jobs"), "van"))
        with walled(hand) as wall:
            wall.press(wall.wall.next_bar.more)
            wall.choose("Day record")
            assert wall.choices() == []
            (page,) = wall.wall.findChildren(DayRecordPage)
            assert page.isVisible()
            assert str(hand.store / "records") in page.subtitle


def test_a_bundle_is_its_own_program(monkeypatch: pytest.MonkeyPatch):
    assert command()[1:] == ["-m", "bayapp"]
    monkeypatch.setattr("sys.frozen", True, raising=False)
    assert len(command()) == 1


# "Written" stands under its own car, and as long as nothing followed.


def test_written_stands_only_under_its_own_car_and_until_something_is_recorded(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        wall.answer_all()
        ask_for_the_record(wall)
        assert record_button(wall) == "written"
        wall.wall.pages.show_car(JobId(f"{CAR}-2"))
        assert record_button(wall) == "see, print, copy to a stick"
        wall.wall.pages.show_car(CAR)
        assert hand.bay.request(WriteNote(JobId(f"{CAR}-2"), "photo taken")).accepted
        assert record_button(wall) == "written", "another car's note makes no paper of this one old"
        assert hand.bay.request(WriteNote(CAR, "photo taken")).accepted
        assert record_button(wall) == "see, print, copy to a stick"


# The paper on the wall.


def test_the_paper_is_moved_by_touch_from_its_top_to_its_end_and_no_further(writing: Walled, qtbot: QtBot):
    ask_for_the_record(writing)
    page = shown_paper(writing, qtbot)
    assert page.page_count == 2
    assert page.at == 0
    places = [0.0]
    for _ in range(12):
        writing.press(page.down)
        places.append(page.at)
    assert places[1] > 0.5
    assert places[-1] == places[-2] > places[1]
    for _ in range(12):
        writing.press(page.up)
    assert page.at == 0


def test_a_stick_gets_the_three_files_and_the_button_says_so(
    writing: Walled, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    stick = tmp_path / "BLUE STICK"
    stick.mkdir()
    monkeypatch.setattr(drives, "PLUGGED_IN", (str(tmp_path),))
    monkeypatch.setattr(drives, "volumes", lambda: [stick])
    ask_for_the_record(writing)
    page = shown_paper(writing, qtbot)
    button = next(b for b in page.errands if b.title == "Copy to BLUE STICK")
    writing.press(button)
    qtbot.waitUntil(lambda: "copied at" in button.detail, timeout=LONG)
    records = writing.hand.store / "records"
    copied = {file.name: file.read_bytes() for file in (stick / "bayapp-records").iterdir()}
    assert copied == {file.name: file.read_bytes() for file in records.iterdir()}
    assert len(copied) == 3


def test_a_stick_that_was_pulled_out_is_said_and_nothing_else_is_touched(
    writing: Walled, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(drives, "PLUGGED_IN", (str(tmp_path),))
    monkeypatch.setattr(drives, "volumes", lambda: [tmp_path / "gone"])
    ask_for_the_record(writing)
    page = shown_paper(writing, qtbot)
    button = next(b for b in page.errands if b.title == "Copy to gone")
    writing.press(button)
    qtbot.waitUntil(lambda: button.detail.startswith("failed: "), timeout=LONG)
    assert os.strerror(2) in button.detail  # ENOENT, POSIX.1-2017 <errno.h>


def test_without_a_stick_or_a_printer_a_touch_says_what_is_missing_on_a_page_to_be_read_from_afar(
    writing: Walled, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(drives, "volumes", list)
    monkeypatch.setattr(day_record_controller, "printers", list)
    ask_for_the_record(writing)
    page = shown_paper(writing, qtbot)
    print_button, copy_button = (button for button in page.errands if button.isVisible())
    assert (print_button.detail, copy_button.detail) == ("no printer", "none is plugged in")
    for button, said in ((copy_button, "Plug one in, then touch again."), (print_button, "knows no printer")):
        writing.press(button)
        assert said in writing.sentences()
        writing.press(writing.wall.pages.choices.close_button)
        assert page.isVisible()


def test_a_printer_gets_every_page_of_the_paper(
    writing: Walled, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """The printer here is one that writes what it prints into a file: Qt's own, with a file for its tray."""
    tray = tmp_path / "tray.pdf"

    def to_file(name: str) -> QPrinter:
        assert name == "back room"
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(tray))
        return printer

    monkeypatch.setattr(day_record_controller, "printers", lambda: ["back room"])
    monkeypatch.setattr(paper_errands, "printer_named", to_file)
    ask_for_the_record(writing)
    page = shown_paper(writing, qtbot)
    button = page.errands[0]
    assert (button.title, button.detail) == ("Print", "on back room")
    writing.press(button)
    qtbot.waitUntil(lambda: "sent to the printer" in button.detail, timeout=LONG)
    printed = QPdfDocument()
    assert printed.load(str(tray)) is QPdfDocument.Error.None_
    assert printed.pageCount() == page.page_count
    image = printed.render(0, QSize(200, 283)).convertToFormat(QImage.Format.Format_Grayscale8)
    dark = sum(image.pixelColor(x, y).value() < 128 for x in range(200) for y in range(283))
    assert dark > 50, "the sheet is empty"


def test_a_paper_that_is_no_pdf_is_not_printed(tmp_path: Path):
    bad = tmp_path / "bad.pdf"
    bad.write_text("no paper", encoding="utf-8")
    with pytest.raises(CannotPrintError, match=r"bad\.pdf"):
        print_pdf(bad, QPrinter())
