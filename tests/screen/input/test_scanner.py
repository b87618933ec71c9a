"""A scanner that types like a keyboard, told from a foot switch and from fingers by its speed."""

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from bayapp.screen.input.scanner import APART_MS, ENDS, LONGEST, Scanner

LABEL = "010629104150021310LOT-A7"


class Window(QWidget):
    """Remembers the keys that came through, and what was scanned."""

    def __init__(self) -> None:
        super().__init__()
        self.keys: list[int] = []
        self.scanned: list[str] = []
        self.scanner = Scanner(self)
        self.scanner.scanned.connect(self.scanned.append)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 (Qt's name)
        self.keys.append(event.key())

    def settle(self) -> None:
        QTest.qWait(6 * APART_MS)


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    made = Window()
    qtbot.addWidget(made)
    return made


def send(
    window: Window, text: str, key: int = 0, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        QCoreApplication.sendEvent(window, QKeyEvent(kind, key, modifiers, text))


def type_label(window: Window, text: str) -> None:
    for character in text:
        send(window, character, ord(character.upper()))


@pytest.mark.parametrize("end", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab])
def test_what_is_typed_at_once_and_ended_is_one_scan_and_no_press(window: Window, end: Qt.Key):
    type_label(window, LABEL)
    send(window, "\r", end)
    window.settle()
    assert (window.scanned, window.keys) == ([LABEL], [])


def test_a_scan_without_an_end_is_taken_after_a_pause(window: Window):
    type_label(window, LABEL)
    window.settle()
    assert (window.scanned, window.keys) == ([LABEL], [])


def test_an_end_that_comes_late_presses_nothing(window: Window):
    type_label(window, LABEL)
    QTest.qWait(2 * APART_MS)
    send(window, "\r", Qt.Key.Key_Return)
    window.settle()
    assert (window.scanned, window.keys) == ([LABEL], [])
    window.settle()
    send(window, "\r", Qt.Key.Key_Return)
    window.settle()
    assert window.keys == [Qt.Key.Key_Return], "a foot switch that sends Enter works again"


@pytest.mark.parametrize(
    ("text", "key", "modifiers"),
    [
        ("\x1d", Qt.Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier),
        ("", Qt.Key.Key_F8, Qt.KeyboardModifier.NoModifier),
        ("]", Qt.Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier),
        ("\x1d", 0, Qt.KeyboardModifier.NoModifier),
    ],
)
def test_a_separator_is_kept_however_it_is_sent(window: Window, text: str, key: int, modifiers: Qt.KeyboardModifier):
    type_label(window, "10LOT-A7")
    send(window, text, key, modifiers)
    type_label(window, "17271231")
    send(window, "\r", Qt.Key.Key_Return)
    assert window.scanned == ["10LOT-A7\x1d17271231"]


def test_shift_held_by_the_scanner_is_no_press(window: Window):
    for character in "LOT-A7X":
        send(window, "", Qt.Key.Key_Shift, Qt.KeyboardModifier.ShiftModifier)
        send(window, character, ord(character), Qt.KeyboardModifier.ShiftModifier)
    send(window, "\r", Qt.Key.Key_Return)
    assert window.scanned == ["LOT-A7X"]
    assert [key for key in window.keys if key != Qt.Key.Key_Shift] == []


@pytest.mark.parametrize(
    ("text", "key"),
    [(" ", Qt.Key.Key_Space), ("\r", Qt.Key.Key_Return), ("", Qt.Key.Key_F5), ("", Qt.Key.Key_PageDown)],
)
def test_the_usual_keys_of_a_foot_switch_go_through_after_a_moment(window: Window, text: str, key: Qt.Key):
    send(window, text, key)
    assert window.keys == [], "it may be what a scanner sends before a label"
    window.settle()
    assert (window.keys, window.scanned) == ([key], [])


NOISE = {
    "an Enter": ("\r", Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier),
    "a Tab": ("\t", Qt.Key.Key_Tab, Qt.KeyboardModifier.NoModifier),
    "a line feed": ("\n", Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier),
    "a start of text": ("\x02", Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier),
    "a bare control character": ("\x1e", 0, Qt.KeyboardModifier.NoModifier),
    "a key of the upper row": ("", Qt.Key.Key_F5, Qt.KeyboardModifier.NoModifier),
    "Page down": ("", Qt.Key.Key_PageDown, Qt.KeyboardModifier.NoModifier),
    "Escape": ("\x1b", Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier),
    "Backspace": ("\x08", Qt.Key.Key_Backspace, Qt.KeyboardModifier.NoModifier),
}


@pytest.mark.parametrize("noise", NOISE.values(), ids=NOISE)
def test_control_characters_before_in_and_behind_a_label_press_nothing(
    window: Window, noise: tuple[str, int, Qt.KeyboardModifier]
):
    send(window, *noise)
    type_label(window, LABEL[:3])
    if noise[1] not in ENDS:
        send(window, *noise)
    type_label(window, LABEL[3:])
    send(window, *noise)
    send(window, "\r", Qt.Key.Key_Return)
    send(window, *noise)
    window.settle()
    assert (window.scanned, window.keys) == ([LABEL], [])


@pytest.mark.parametrize("text", ["A\r", "12\r3\r", "\r\t", "AB\tCD\r", "\t\r\t\r"])
def test_a_burst_that_is_no_label_presses_nothing_either(window: Window, text: str):
    keys = {"\r": Qt.Key.Key_Return, "\t": Qt.Key.Key_Tab}
    for character in text:
        send(window, character, keys.get(character, ord(character)))
    window.settle()
    assert (window.scanned, window.keys) == ([], [])


def test_a_space_in_a_label_is_kept_and_presses_nothing(window: Window):
    type_label(window, "10LOT A7")
    send(window, "\r", Qt.Key.Key_Return)
    window.settle()
    assert (window.scanned, window.keys) == (["10LOT A7"], [])


def test_a_burst_without_end_keeps_no_more_than_a_label_can_have(window: Window):
    type_label(window, "0123456789" * 1_000)
    window.settle()
    assert [len(text) for text in window.scanned] == [LONGEST]


def test_a_foot_switch_that_sends_a_letter_goes_through_after_a_moment(window: Window):
    send(window, "b", Qt.Key.Key_B)
    assert window.keys == []
    window.settle()
    assert (window.keys, window.scanned) == ([Qt.Key.Key_B], [])


def test_a_switch_that_bounces_is_one_press(window: Window):
    for _ in range(3):
        send(window, "b", Qt.Key.Key_B)
    window.settle()
    assert (window.keys, window.scanned) == ([Qt.Key.Key_B], [])


def test_fingers_are_no_scanner(window: Window):
    for character in "20271231":
        send(window, character, ord(character))
        QTest.qWait(3 * APART_MS)
    window.settle()
    assert window.scanned == []
    assert window.keys == [ord(character) for character in "20271231"]


def test_a_key_that_is_held_down_is_no_scan(window: Window):
    for _ in range(20):
        event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_B, Qt.KeyboardModifier.NoModifier, "b", True)
        QCoreApplication.sendEvent(window, event)
    window.settle()
    assert window.scanned == []


def test_two_scans_one_after_the_other_are_two(window: Window):
    for _ in range(2):
        type_label(window, LABEL)
        send(window, "\r", Qt.Key.Key_Return)
    assert window.scanned == [LABEL, LABEL]
