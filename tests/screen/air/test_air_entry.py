"""Fingers on the keypad and on the minutes: what is pressed stands in the journal."""

from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QSignalSpy, QTest
from pytestqt.qtbot import QtBot

from bayapp.job import ReadAir
from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import AirCorrected, AirRead, StepFinished, TimeCorrected
from bayapp.pages.air.air_entry import AirField
from bayapp.pages.board.correction import latest_run
from bayapp.screen.air.air_day import AirPage
from bayapp.screen.air.air_entry import AirEntryPage
from bayapp.screen.board.correction import CorrectionPage
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.entry_page import EntryPage
from tests.pages.bays import ASH, CAR, HandBay, hand_bay
from tests.screen.walls import Walled, walled

WINDSCREEN = (ZoneId("windscreen"),)


@pytest.fixture
def keypad(board: Walled) -> AirEntryPage:
    open_air(board)
    return keypad_of(board)


def open_air(wall: Walled) -> AirPage:
    """Touch the air in the strip, and then its button for a reading."""
    wall.press(wall.wall.strip.air)
    page = air_page_of(wall)
    wall.press(page.reading_button)
    return page


def air_page_of(wall: Walled) -> AirPage:
    (page,) = wall.wall.findChildren(AirPage)
    assert page.isVisible()
    return page


def keypad_of(wall: Walled) -> AirEntryPage:
    (page,) = wall.wall.findChildren(AirEntryPage)
    assert page.isVisible()
    return page


def correction_of(wall: Walled) -> CorrectionPage:
    (page,) = wall.wall.findChildren(CorrectionPage)
    assert page.isVisible()
    return page


def type_in(wall: Walled, page: AirEntryPage, keys: str) -> None:
    for key in keys:
        wall.press(page.keys[{">": "next", "<": "back"}.get(key, key)])


def clocks_in_sight(wall: Walled) -> bool:
    return wall.wall.column.buttons[0].isVisible() and wall.wall.next_bar.main.isVisible()


def open_correction(wall: Walled) -> CorrectionPage:
    wall.wall.pages.show_ladder(CAR, WINDSCREEN)
    wall.press(wall.wall.ladder_bar.correct)
    return correction_of(wall)


# The air.


def test_a_reading_is_typed_and_recorded_and_the_strip_says_it(board: Walled, keypad: AirEntryPage):
    assert clocks_in_sight(board)
    type_in(board, keypad, "22.5>44>20")
    board.press(keypad.record_button)
    (read,) = board.hand.journal.read()[-1:]
    assert isinstance(read, AirRead)
    assert (read.air_c, read.rh_percent, read.surface_c, read.by) == (22.5, 44.0, 20.0, ASH)
    assert board.wall.strip.air.title == "22.5 °C, 44 %"
    view = air_page_of(board).view
    assert view
    assert view.subtitle.endswith("by Ash.")


def test_record_says_why_not_and_records_nothing_until_the_values_are_possible(board: Walled, keypad: AirEntryPage):
    before = board.events()
    for keys, why in (
        ("", "Type the temperature of the air."),
        ("22", "Type the humidity of the air."),
        (">120", "A humidity of 120 % cannot be: it is above 0 and at most 100 %."),
    ):
        type_in(board, keypad, keys)
        assert keypad.record_button.detail == why
        board.press(keypad.record_button)
        assert board.events() == before
        assert keypad.isVisible()
    type_in(board, keypad, "<<2")
    assert keypad.record_button.detail.startswith("Frost point")
    board.press(keypad.record_button)
    assert board.events() == before + 1


def test_a_field_is_chosen_by_touch(board: Walled, keypad: AirEntryPage):
    board.press(keypad.fields[AirField.SURFACE])
    type_in(board, keypad, "-3.5")
    shown = keypad.fields[AirField.SURFACE].field
    assert shown
    assert shown.chosen
    assert shown.typed == "-3.5"
    first = keypad.fields[AirField.AIR].field
    assert first
    assert (first.typed, first.last) == ("", "last 21.0")


def test_leaving_the_keypad_records_nothing_and_forgets_what_was_typed(board: Walled, keypad: AirEntryPage):
    before = board.events()
    type_in(board, keypad, "22")
    board.press(keypad.close_button)
    assert not keypad.isVisible()
    assert board.events() == before
    open_air(board)
    shown = keypad.fields[AirField.AIR].field
    assert shown
    assert shown.typed == ""


def test_the_air_is_read_from_a_ladder_and_leads_back_to_it(board: Walled):
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    air = open_air(board)
    page = keypad_of(board)
    type_in(board, page, "22>44")
    board.press(page.record_button)
    board.press(air.close_button)
    assert board.wall.ladder.isVisible()


def test_more_leads_to_the_air_too_and_without_a_car_it_can_be_read_all_the_same(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        assert wall.wall.strip.air.title == "Read the air"
        wall.press(wall.wall.next_bar.more)
        wall.choose("The air")
        wall.press(air_page_of(wall).reading_button)
        page = keypad_of(wall)
        type_in(wall, page, "22>44")
        wall.press(page.record_button)
        assert isinstance(hand.journal.read()[-1], AirRead)


def open_wrong(board: Walled) -> AirEntryPage:
    """Go from the air page to the reading that was typed last."""
    board.press(board.wall.strip.air)
    board.press(air_page_of(board).correct_button)
    board.press(board.wall.pages.choices.buttons[0])
    return keypad_of(board)


def test_a_wrong_reading_is_corrected_by_touch_and_both_stay(board: Walled):
    read = board.hand.bay.state.air
    assert read
    page = open_wrong(board)
    before = board.events()
    board.press(page.record_button)
    assert page.record_button.detail == "Type what it should have been."
    assert board.events() == before
    type_in(board, page, "12.5")
    board.press(page.record_button)
    event = board.hand.journal.read()[-1]
    assert isinstance(event, AirCorrected)
    assert (event.corrects, event.source, event.by) == (read.at, read.source, ASH)
    assert (event.was.air_c, event.was.rh_percent) == (read.air_c, read.rh_percent)
    assert event.becomes
    assert (event.becomes.air_c, event.becomes.rh_percent, event.becomes.surface_c) == (
        12.5,
        read.rh_percent,
        read.surface_c,
    )
    assert board.wall.strip.air.title.startswith("12.5 °C")
    assert air_page_of(board).isVisible()


def test_a_reading_is_withdrawn_by_a_hold_never_by_a_touch(board: Walled, monkeypatch: pytest.MonkeyPatch):
    page = open_wrong(board)
    before = board.events()
    board.press(page.withdraw_button)
    assert board.events() == before
    monkeypatch.setattr(glove_button, "HOLD_MS", 1)
    held = QSignalSpy(page.withdraw_button.held)
    QTest.mousePress(page.withdraw_button, Qt.MouseButton.LeftButton, pos=page.withdraw_button.rect().center())
    assert held.wait(5_000)
    event = board.hand.journal.read()[-1]
    assert isinstance(event, AirCorrected)
    assert event.becomes is None
    assert air_page_of(board).isVisible()


def test_a_new_reading_after_a_correction_begins_empty_and_cannot_be_withdrawn(board: Walled):
    page = open_wrong(board)
    assert page.withdraw_button.isVisible()
    board.press(page.close_button)
    open_air(board)
    shown = page.fields[AirField.AIR].field
    assert shown
    assert (shown.typed, page.withdraw_button.isVisible()) == ("", False)


def test_more_readings_than_a_page_holds_are_reached_in_steps(board: Walled):
    for n in range(10):
        board.wait(1)
        assert board.hand.bay.request(ReadAir(15 + n, 50)).accepted
    board.press(board.wall.strip.air)
    board.press(air_page_of(board).correct_button)
    first = board.choices()
    assert "24.0 °C" in first[0]
    board.choose("Earlier readings")
    assert "16.0 °C" in board.choices()[0]


def shows(keypad: AirEntryPage, typed: str) -> bool:
    air = keypad.fields[AirField.AIR].field
    return air is not None and air.typed == typed


def test_digits_of_a_keyboard_are_typed_here_and_begin_no_step(board: Walled, keypad: AirEntryPage, qtbot: QtBot):
    before = board.events()
    digits = ((Qt.Key.Key_2, "2"), (Qt.Key.Key_3, "23"), (Qt.Key.Key_Comma, "23."), (Qt.Key.Key_5, "23.5"))
    for key, typed in (*digits, (Qt.Key.Key_Backspace, "23.")):
        QTest.keyClick(board.wall, key)
        # As a finger types: the next key comes when this one has been passed on; sooner, it would be a scanner.
        qtbot.waitUntil(partial(shows, keypad, typed))
    assert board.events() == before
    QTest.keyClick(board.wall, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not keypad.isVisible())
    board.wall.pages.show_board()
    QTest.keyClick(board.wall, Qt.Key.Key_2)
    qtbot.waitUntil(lambda: board.events() > before)
    assert board.events() == before + 1


def test_the_same_key_may_be_pressed_again_sooner_than_a_step_may_be_begun(
    board: Walled, keypad: AirEntryPage, monkeypatch: pytest.MonkeyPatch
):
    """A bounce is one press; a quarter of the usual pause later the key counts again."""
    monkeypatch.setattr(glove_button, "SETTLE_MS", 1_200)
    QTest.qWait(1_250)
    two = keypad.keys["2"]
    board.press(two)
    board.press(two)
    shown = keypad.fields[AirField.AIR]
    assert shown.field
    assert shown.field.typed == "2"
    QTest.qWait(350)
    board.press(two)
    assert shown.field
    assert shown.field.typed == "22"


# The time.


def test_a_finish_is_moved_and_recorded_and_the_ladder_comes_back(board: Walled):
    state = board.hand.bay.state.jobs[CAR].zones[WINDSCREEN[0]]
    run = latest_run(state)
    assert run
    assert run.finished_at
    page = open_correction(board)
    assert clocks_in_sight(board)
    board.press(page.shifts["finish", -1])
    board.press(page.shifts["start", -1])
    board.press(page.record_button)
    moved = board.hand.journal.read()[-2:]
    assert all(isinstance(e, TimeCorrected) for e in moved)
    assert [(e.edge, e.was, e.becomes, e.by) for e in moved if isinstance(e, TimeCorrected)] == [
        ("start", run.started_at, run.started_at - timedelta(minutes=1), ASH),
        ("finish", run.finished_at, run.finished_at - timedelta(minutes=1), ASH),
    ]
    assert board.wall.ladder.isVisible()
    assert board.wall.ladder_bar.undo.detail == "the corrected time of coat across"


def test_an_impossible_time_is_refused_in_words_and_nothing_is_recorded(board: Walled):
    page = open_correction(board)
    before = board.events()
    board.press(page.record_button)
    assert page.record_button.detail == "Move a time first."
    board.press(page.shifts["start", 5])
    assert "cannot have been at" in page.record_button.detail
    board.press(page.record_button)
    assert board.events() == before
    assert page.isVisible()


def test_what_is_still_to_come_is_right_once_it_has_come(board: Walled):
    page = open_correction(board)
    board.press(page.shifts["finish", 5])
    assert "cannot have been at" in page.record_button.detail
    board.wait(71)
    assert page.record_button.detail.endswith("Both times stay in the record.")


def test_a_step_under_way_shows_no_buttons_for_its_finish(board: Walled):
    board.wall.pages.show_ladder(CAR, (ZoneId("rim-rear-left"),))
    board.press(board.wall.ladder_bar.correct)
    page = correction_of(board)
    assert page.shifts["start", 1].isVisible()
    assert not page.shifts["finish", 1].isVisible()


def test_a_step_that_is_ended_under_the_page_is_not_corrected_blindly(board: Walled):
    board.press(board.wall.next_bar.main)
    board.wall.pages.show_ladder(CAR, (ZoneId("rim-rear-right"),))
    board.press(board.wall.ladder_bar.correct)
    page = correction_of(board)
    board.press(page.shifts["start", -1])
    board.press(board.wall.next_bar.main)
    assert isinstance(board.hand.journal.read()[-1], StepFinished)
    assert "changed meanwhile" in page.record_button.detail
    before = board.events()
    board.press(page.record_button)
    assert board.events() == before


def test_an_untouched_zone_has_no_time_to_correct(hand: HandBay):
    zones = hand.bay.state.jobs[CAR].zones
    untouched = next(z for z, zone in zones.items() if latest_run(zone) is None)
    with walled(hand) as wall:
        wall.wall.pages.show_ladder(CAR, (untouched,))
        assert not wall.wall.ladder_bar.correct.isVisible()


@pytest.mark.parametrize("page", ["air", "correct"])
def test_an_alert_takes_its_room_from_an_open_page(board: Walled, page: str):
    board.turn_to(page)
    board.wait(71)
    assert board.wall.band.isVisible()
    (shown,) = [p for p in board.wall.findChildren(EntryPage) if p.isVisible()]
    assert not shown.geometry().intersects(board.wall.band.geometry())
