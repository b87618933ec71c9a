"""Paint is measured by touches, on a keyboard, by a gauge that types, and from a file."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from bayapp.job import ReadThickness
from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import ThicknessRead, ThicknessWithdrawn
from bayapp.job.thickness import readings_of
from bayapp.screen.arrival.thickness import RECORD, TAKE_BACK, ThicknessPage
from tests.pages.bays import CAR
from tests.screen.walls import Walled


@pytest.fixture
def paint(board: Walled) -> Walled:
    """The page of paint thickness, by touches."""
    board.press(board.wall.next_bar.more)
    board.choose("Arrival")
    board.choose("Paint thickness")
    return board


def page(wall: Walled) -> ThicknessPage:
    (found,) = wall.wall.findChildren(ThicknessPage)
    return found


def touch(wall: Walled, zone: str) -> None:
    car = page(wall).car
    QTest.mouseClick(car, Qt.MouseButton.LeftButton, pos=car.zone_centre(ZoneId(zone)).toPoint())


def press(wall: Walled, *keys: str) -> None:
    for key in keys:
        wall.press(page(wall).keys[key])


def burst(wall: Walled, text: str) -> None:
    """Type as a gauge does: at once, and Enter behind it."""
    QTest.keyClicks(wall.wall, text)
    QTest.keyClick(wall.wall, Qt.Key.Key_Return)
    wall.let_keys_through()
    QTest.qWait(150)


def read(wall: Walled, zone: str) -> tuple[float, ...]:
    return readings_of(wall.hand.bay.state.jobs[CAR], ZoneId(zone))


def test_a_zone_stays_chosen_from_reading_to_reading_until_the_next_is_touched(paint: Walled):
    touch(paint, "bonnet")
    press(paint, *"112", RECORD, *"74.5", RECORD)
    touch(paint, "roof")
    press(paint, *"118", RECORD)
    assert read(paint, "bonnet") == (112.0, 74.5)
    assert read(paint, "roof") == (118.0,)
    entries = [event for event in paint.hand.journal.read() if isinstance(event, ThicknessRead)]
    assert [(e.zone, e.um, e.source, e.by) for e in entries] == [
        ("bonnet", (112.0,), "keypad", paint.wall.selection.by),
        ("bonnet", (74.5,), "keypad", paint.wall.selection.by),
        ("roof", (118.0,), "keypad", paint.wall.selection.by),
    ]


def test_a_wrong_reading_is_taken_back_and_stays_in_the_journal(paint: Walled):
    touch(paint, "bonnet")
    press(paint, *"1112", RECORD, TAKE_BACK)
    assert read(paint, "bonnet") == ()
    withdrawn = [event for event in paint.hand.journal.read() if isinstance(event, ThicknessWithdrawn)]
    assert [(event.number, event.um) for event in withdrawn] == [(1, (1_112.0,))]
    assert not page(paint).keys[TAKE_BACK].isEnabled()


@pytest.mark.slow
def test_record_without_a_zone_or_a_number_records_nothing_and_keeps_what_is_typed(paint: Walled):
    before = paint.events()
    press(paint, RECORD, *"112", RECORD)
    assert paint.events() == before
    touch(paint, "bonnet")
    press(paint, RECORD)
    assert read(paint, "bonnet") == (112.0,)


@pytest.mark.slow
def test_what_no_gauge_reads_is_refused_in_words_and_the_page_comes_back(paint: Walled):
    touch(paint, "bonnet")
    before = paint.events()
    press(paint, *"9999", RECORD)
    assert paint.events() == before
    assert "from 0 µm to 5,000 µm is possible" in paint.sentences()


def test_a_gauge_that_types_like_a_keyboard_records_for_the_chosen_zone(paint: Walled):
    touch(paint, "bonnet")
    started = paint.hand.bay.state.jobs[CAR].zones
    burst(paint, "112")
    burst(paint, "74.5 um")
    burst(paint, "9")
    assert read(paint, "bonnet") == (112.0, 74.5, 9.0)
    assert paint.hand.bay.state.jobs[CAR].zones == started, "its keys begin no step"
    sources = {event.source for event in paint.hand.journal.read() if isinstance(event, ThicknessRead)}
    assert sources == {"gauge"}


@pytest.mark.slow
def test_a_gauge_without_a_chosen_zone_waits_for_the_touch(paint: Walled):
    before = paint.events()
    burst(paint, "112")
    assert paint.events() == before
    touch(paint, "roof")
    press(paint, RECORD)
    assert read(paint, "roof") == (112.0,)


@pytest.mark.slow
def test_a_label_scanned_on_this_page_is_still_a_label(paint: Walled):
    touch(paint, "bonnet")
    burst(paint, "010629104150021310LOT-A7")
    assert read(paint, "bonnet") == ()
    assert not page(paint).isVisible()


@pytest.mark.slow
def test_a_gauge_on_any_other_page_records_nothing(board: Walled):
    before = board.events()
    burst(board, "112")
    assert board.events() == before


@pytest.mark.slow
def test_digits_of_a_keyboard_are_typed_and_enter_records(paint: Walled):
    touch(paint, "bonnet")
    keys = Qt.Key
    for key in (keys.Key_7, keys.Key_4, keys.Key_Comma, keys.Key_5, keys.Key_Backspace, keys.Key_6):
        QTest.keyClick(paint.wall, key)
        paint.let_keys_through()
        QTest.qWait(100)
    QTest.keyClick(paint.wall, Qt.Key.Key_Return)
    paint.let_keys_through()
    QTest.qWait(100)
    assert read(paint, "bonnet") == (74.6,)


def test_readings_come_from_a_file_by_touch_all_in_one(paint: Walled, tmp_path: Path):
    stick = tmp_path / "stick"
    stick.mkdir()
    (stick / "gauge.csv").write_text("zone,um\nbonnet,112\nroof,98.5\nbonnet,118\n")
    paint.openers.thickness.folders = lambda: [stick]
    paint.press(page(paint).file_button)
    paint.choose("stick")
    paint.choose("gauge.csv")
    paint.choose("Take 3 readings")
    assert page(paint).isVisible()
    assert (read(paint, "bonnet"), read(paint, "roof")) == ((112.0, 118.0), (98.5,))


@pytest.mark.parametrize(
    ("content", "says"), [("zone,um\nspoiler,112\n", "spoiler"), ("no readings", "the first line must name")]
)
@pytest.mark.slow
def test_a_bad_file_is_said_to_be_bad_and_nothing_is_taken(content: str, says: str, paint: Walled, tmp_path: Path):
    (tmp_path / "gauge.csv").write_text(content)
    paint.openers.thickness.folders = lambda: [tmp_path]
    before = paint.events()
    paint.press(page(paint).file_button)
    paint.choose(tmp_path.name)
    paint.choose("gauge.csv")
    assert says in paint.sentences()
    assert paint.events() == before


@pytest.mark.slow
def test_without_any_stick_it_says_where_a_file_goes(paint: Walled, tmp_path: Path):
    paint.openers.thickness.folders = lambda: [tmp_path / "pulled-out"]
    paint.press(page(paint).file_button)
    assert "shared" in paint.sentences()


@pytest.mark.slow
def test_the_hub_tells_how_many_zones_were_measured(paint: Walled):
    assert paint.hand.bay.request(ReadThickness(CAR, ((ZoneId("bonnet"), (112.0,)),))).accepted
    paint.press(page(paint).close_button)
    assert "1 zone measured" in paint.details()
