"""The locked glass: touches and mice do nothing, keys do, alerts are heard, clocks stay, one hold unlocks."""

import pytest
from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from bayapp.job.state.events import StepStarted
from bayapp.pages.input import glove_lock as rules
from tests.pages.bays import HandBay
from tests.screen.test_glove_audit import SCREENS, overlaps
from tests.screen.walls import Walled, walled


@pytest.fixture
def locked(board: Walled, monkeypatch: pytest.MonkeyPatch) -> Walled:
    monkeypatch.setattr(rules, "HOLD", 0.15 * rules.HOLD / 2)
    board.press(board.wall.next_bar.more)
    board.choose("Glove lock")
    assert board.openers.lock.locked
    assert board.openers.lock.sign.isVisible()
    return board


@pytest.fixture(scope="module")
def screen() -> QPointingDevice:
    return QTest.createTouchDevice()


def hold(widget: QWidget, ms: int = 250) -> None:
    QTest.mousePress(widget, Qt.MouseButton.LeftButton, pos=widget.rect().center())
    QTest.qWait(ms)
    QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, pos=widget.rect().center())


def test_no_touch_of_any_button_on_the_board_does_anything(locked: Walled):
    before = locked.events()
    for button in locked.targets():
        QTest.mouseClick(button, Qt.MouseButton.LeftButton, pos=button.rect().center())
        hold(button, 170)
    locked.touch("windscreen")
    QCoreApplication.processEvents()
    assert locked.events() == before
    assert locked.wall.car.isVisible()
    assert locked.openers.lock.locked


def test_the_foot_switch_still_works_and_alerts_are_still_called(locked: Walled):
    QTest.keyClick(locked.wall, Qt.Key.Key_Space)
    locked.let_keys_through()
    assert isinstance(locked.hand.journal.read()[-1], StepStarted)
    calls = len(locked.sound.calls)
    locked.wait(71)
    assert len(locked.sound.calls) > calls
    assert locked.wall.band.isVisible()
    assert locked.openers.lock.locked


def test_a_hold_on_the_sign_unlocks_when_it_is_let_go(locked: Walled):
    hold(locked.openers.lock.sign, 30)
    assert locked.openers.lock.locked, "that was no hold"
    hold(locked.openers.lock.sign)
    assert not locked.openers.lock.locked
    assert not locked.openers.lock.sign.isVisible()
    locked.press(locked.wall.next_bar.more)
    assert locked.wall.pages.choices.isVisible()


def test_fingers_are_told_from_water_by_the_touch_screen_too(locked: Walled, screen: QPointingDevice):
    sign, wall = locked.openers.lock.sign, locked.wall
    middle = sign.mapTo(wall, sign.rect().center())
    aside = middle + QPoint(30, 0)

    def both(first: QPoint, second: QPoint | None) -> None:
        touching = QTest.touchEvent(wall, screen, False).press(0, first, wall)
        if second:
            touching.press(1, second, wall)
        touching.commit()
        QTest.qWait(250)
        leaving = QTest.touchEvent(wall, screen, False).release(0, first, wall)
        if second:
            leaving.release(1, second, wall)
        leaving.commit()

    both(middle, aside)
    assert locked.openers.lock.locked, "two at once"
    QTest.touchEvent(wall, screen, False).press(0, middle, wall).commit()
    QTest.touchEvent(wall, screen, False).move(0, middle - QPoint(400, 0), wall).commit()
    QTest.touchEvent(wall, screen, False).move(0, middle, wall).commit()
    QTest.qWait(250)
    QTest.touchEvent(wall, screen, False).release(0, middle, wall).commit()
    assert locked.openers.lock.locked, "a wiping hand"
    button = wall.next_bar.main
    before = locked.events()
    both(button.mapTo(wall, button.rect().center()), None)
    assert (locked.events(), locked.openers.lock.locked) == (before, True)
    both(middle, None)
    assert not locked.openers.lock.locked


@pytest.mark.parametrize("screen_name", SCREENS)
def test_the_sign_is_large_and_stands_on_no_clock_and_nothing_else(hand: HandBay, screen_name: str):
    size, inch = SCREENS[screen_name]
    with walled(hand, size, inch=inch) as wall:
        wall.turn_to("lock")
        box = wall.box_mm(wall.openers.lock.sign)
        assert min(box.width(), box.height()) >= 30
        assert overlaps(wall.wall) == []
        assert wall.wall.column.buttons[0].isVisible()
        assert wall.wall.strip.isVisible()


def test_a_closed_window_leaves_no_lock_behind(hand: HandBay):
    with walled(hand) as wall:
        wall.turn_to("lock")
        lock = wall.openers.lock
    with walled(hand) as again:
        again.press(again.wall.next_bar.more)
        assert again.wall.pages.choices.isVisible()
    assert lock is not None
