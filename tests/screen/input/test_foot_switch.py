"""A foot switch at a real wall: what it was taught it does, and every other key does what it always did."""

from datetime import timedelta

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest

from bayapp.files.shop.key_settings import KeyAction, KeySettings
from bayapp.files.shop.settings import load_settings
from bayapp.job.model.ids import Person
from bayapp.job.state.events import StepFinished, StepStarted, StepUndone
from bayapp.pages.input.foot_switch import AGAIN_AFTER
from bayapp.screen.input.scanner import APART_MS
from tests.pages.bays import HandBay
from tests.screen.walls import Walled, walled

LEARNED = {"F5": KeySettings(long=KeyAction.HEARD, double=KeyAction.UNDO), "F6": KeySettings(press=KeyAction.BACK)}
LETTER = {"B": KeySettings(press=KeyAction.NEXT, long=KeyAction.UNDO)}
LONG_S, TWICE_S = 0.3, 0.15
SLIP_MS = AGAIN_AFTER // timedelta(milliseconds=1)
KEY = Qt.Key.Key_F5


def taught(board: Walled, keys: dict[str, KeySettings]) -> None:
    board.openers.switch.use(keys, LONG_S, TWICE_S)


def last(board: Walled) -> object:
    return board.hand.journal.read()[-1]


def press(board: Walled, key: Qt.Key, hold_ms: int = 20) -> None:
    """Press a key for so long after it has been told from a scan."""
    QTest.keyPress(board.wall, key)
    if hold_ms > APART_MS:
        board.let_keys_through()
    QTest.qWait(hold_ms)
    QTest.keyRelease(board.wall, key)
    board.let_keys_through()
    QTest.qWait(120)  # long enough for the switch to have come up for good


def test_a_short_press_does_the_next_step_once_it_is_certain(board: Walled):
    taught(board, LEARNED)
    before = board.events()
    press(board, KEY)
    assert board.events() == before, "two presses mean something, so one waits"
    QTest.qWait(int(TWICE_S * 1000) + 150)
    assert isinstance(last(board), StepStarted)


def test_a_long_press_answers_every_alert(hand: HandBay):
    with walled(hand) as wall:
        taught(wall, LEARNED)
        wall.wait(71)
        assert hand.bay.alerts.unanswered()
        press(wall, KEY, 350)
        assert not hand.bay.alerts.unanswered()
        assert not wall.openers.switch.sign.isVisible()
        QTest.qWait(SLIP_MS)
        press(wall, KEY, 350)
        assert wall.openers.switch.sign.title == "Nothing calls"


def test_two_presses_take_back_the_last_touch_of_whoever_stands_at_the_car_and_say_what_it_was(board: Walled):
    taught(board, LEARNED)
    board.press(board.wall.next_bar.main)
    begun = last(board)
    assert isinstance(begun, StepStarted)
    QTest.keyClick(board.wall, KEY)
    board.let_keys_through()
    QTest.keyPress(board.wall, KEY)
    board.let_keys_through()
    undone = last(board)
    assert isinstance(undone, StepUndone)
    assert (undone.zone, undone.by) == (begun.zone, board.wall.selection.by)
    sign = board.openers.switch.sign
    assert sign.isVisible()
    assert sign.title == "Undone"
    assert "begun at" in sign.detail
    assert not sign.geometry().intersects(board.wall.column.geometry()), "no clock is hidden"
    assert not sign.geometry().intersects(board.wall.next_bar.geometry())


def test_nobody_undoes_what_another_did(board: Walled):
    taught(board, {"F5": KeySettings(press=KeyAction.UNDO)})
    board.wall.selection.by = Person("Nobody")
    before = board.events()
    press(board, KEY)
    assert board.events() == before
    assert board.openers.switch.sign.title == "Nothing to undo"


def test_back_leads_back_and_a_foot_that_rests_does_nothing(board: Walled):
    taught(board, LEARNED)
    board.turn_to("more")
    press(board, Qt.Key.Key_F6)
    assert board.wall.car.isVisible()
    before = board.events()
    QTest.keyPress(board.wall, KEY)
    for _ in range(40):
        event = QKeyEvent(QEvent.Type.KeyPress, KEY, Qt.KeyboardModifier.NoModifier, "", autorep=True)
        QCoreApplication.sendEvent(board.wall, event)
    QTest.qWait(3_100)
    QTest.keyRelease(board.wall, KEY)
    QTest.qWait(300)
    assert board.events() == before


def test_a_switch_that_types_a_letter_is_told_from_a_scan_and_short_from_long(board: Walled):
    taught(board, LETTER)
    press(board, Qt.Key.Key_B, 10)
    QTest.qWait(6 * APART_MS + SLIP_MS)
    assert isinstance(last(board), StepStarted)
    press(board, Qt.Key.Key_B, 600)
    assert isinstance(last(board), StepUndone)


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_PageDown])
def test_keys_that_were_taught_nothing_press_the_main_button_as_they_go_down(board: Walled, key: Qt.Key):
    taught(board, LEARNED)
    QTest.keyPress(board.wall, key)
    board.let_keys_through()  # it may be the first of a scan
    assert isinstance(last(board), StepStarted | StepFinished)
    QTest.keyRelease(board.wall, key)


def test_an_untaught_key_that_is_held_and_told_as_many_presses_acts_once(board: Walled):
    before = board.events()
    for _ in range(60):
        QTest.keyPress(board.wall, Qt.Key.Key_PageDown)
        QTest.keyRelease(board.wall, Qt.Key.Key_PageDown)
    board.let_keys_through()
    assert board.events() == before + 1


def test_what_a_press_is_to_do_is_learned_by_pressing(board: Walled):
    board.turn_to("keys")
    board.choose("Heard it")
    assert board.openers.switch.learning
    before = board.events()
    press(board, Qt.Key.Key_PageDown, 900)
    assert board.events() == before, "what is learned is not done"
    assert load_settings(board.hand.store).keys == {"PgDown": KeySettings(long=KeyAction.HEARD)}
    assert board.wall.pages.choices.subtitle == "PgDown, long: Heard it"
    board.choose("Undo")
    press(board, Qt.Key.Key_PageDown)
    press(board, Qt.Key.Key_PageDown)
    assert load_settings(board.hand.store).keys["PgDown"].double is KeyAction.UNDO
    board.choose("Heard it")
    board.choose("Forget PgDown long")
    assert load_settings(board.hand.store).keys["PgDown"].long is None


def test_leaving_the_page_ends_the_learning(board: Walled):
    board.turn_to("keys")
    board.choose("Undo")
    board.press(board.wall.pages.choices.close_button)
    QTest.keyClick(board.wall, Qt.Key.Key_F9)
    board.let_keys_through()
    assert isinstance(last(board), StepStarted)
    assert load_settings(board.hand.store).keys == {}


def test_a_file_that_somebody_writes_is_left_as_it_is_and_said(board: Walled):
    file = board.hand.store / "settings.toml"
    board.turn_to("keys")
    board.choose("Undo")
    file.write_text('theme = "da', encoding="utf-8")
    press(board, Qt.Key.Key_F9, 900)
    assert file.read_text(encoding="utf-8") == 'theme = "da'
    assert "Nothing was changed" in board.wall.pages.choices.subtitle


def test_what_was_taught_is_known_after_a_restart(hand: HandBay):
    (hand.store / "settings.toml").write_text('[keys.F5]\npress = "back"\n', encoding="utf-8")
    with walled(hand) as wall:
        wall.turn_to("more")
        press(wall, KEY)
        assert wall.wall.car.isVisible()
