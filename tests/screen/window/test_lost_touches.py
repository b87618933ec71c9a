"""No touch is lost without a sign, and none lands on what was not there when the finger came down."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from bayapp.job import Start
from bayapp.job.model.ids import JobId
from bayapp.pages.board.next_step import Offer
from bayapp.pages.wanted import Page
from bayapp.screen.board.next_step import NextBar
from bayapp.screen.widgets import glove_button
from bayapp.screen.window.wall import Wall
from tests.screen.walls import QuietSound, Walled


@pytest.fixture
def sound(board: Walled) -> QuietSound:
    found = QuietSound()
    board.wall.voice.begin(found)
    return found


@pytest.fixture
def offers(board: Walled, monkeypatch: pytest.MonkeyPatch) -> tuple[NextBar, Offer]:
    """The board's bar after it has long shown an offer, and that offer."""
    bar = board.wall.next_bar
    shown = bar.offer_of(bar.main)
    assert shown
    assert isinstance(shown.action, Start)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 40)
    QTest.qWait(100)
    assert bar.main.settled()
    return bar, shown


def touch(wall: Wall, on: QWidget, at: QPoint | None = None) -> None:
    """Touch the glass, as the window system tells of it."""
    spot = on.mapTo(wall, at or on.rect().center())
    QTest.mouseClick(wall.windowHandle(), Qt.MouseButton.LeftButton, pos=spot)


def test_a_touch_on_the_car_just_after_a_page_went_opens_no_ladder_and_is_told(
    board: Walled, sound: QuietSound, monkeypatch: pytest.MonkeyPatch
):
    wall = board.wall
    zone = next(iter(wall.selection.bay.state.open_jobs[0].zones))
    there = wall.car.zone_centre(zone).toPoint()
    wall.pages.want(Page.MORE)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    wall.pages.show_board()
    touch(wall, wall.car, there)
    assert wall.pages.standing is None
    assert (wall.lost_touches.sign.isVisible(), wall.lost_touches.sign.title, sound.knocks) == (True, "Not taken", 1)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 0)
    QTest.qWait(30)
    touch(wall, wall.car, there)
    assert wall.pages.standing is wall.ladder
    assert sound.knocks == 1


def test_a_touch_where_a_button_was_on_the_page_before_is_told(
    board: Walled, sound: QuietSound, monkeypatch: pytest.MonkeyPatch
):
    wall = board.wall
    wall.pages.want(Page.MORE)
    there = wall.pages.choices.buttons[-1].geometry().center()
    wall.pages.want(Page.CAUTIONS)
    assert wall.pages.choices.childAt(there) is None
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    touch(wall, wall.pages.choices, there)
    assert sound.knocks == 1


def test_the_sign_stands_on_the_glass_wherever_the_touch_was(board: Walled, sound: QuietSound):
    wall = board.wall
    for corner in (wall.rect().topLeft(), wall.rect().topRight(), wall.rect().bottomLeft(), wall.rect().bottomRight()):
        wall.lost_touches.tell(wall.mapToGlobal(corner).toPointF())
        assert wall.rect().contains(wall.lost_touches.sign.geometry())
        assert not wall.lost_touches.sign.geometry().contains(corner)


def test_a_button_that_says_the_same_of_another_request_takes_no_touch_for_it(
    offers: tuple[NextBar, Offer], qtbot: QtBot
):
    bar, shown = offers
    assert isinstance(shown.action, Start)
    bar.show_offers(replace(shown, action=replace(shown.action, by=None)), None)
    with qtbot.assertNotEmitted(bar.taken):
        QTest.mouseClick(bar.main, Qt.MouseButton.LeftButton)
    QTest.qWait(100)
    with qtbot.waitSignal(bar.taken):
        QTest.mouseClick(bar.main, Qt.MouseButton.LeftButton)


@pytest.mark.parametrize(
    ("then", "settles_ms"),
    [(lambda shown: replace(shown, title="Begin: other"), 40), (lambda shown: replace(shown, job=JobId("b")), 80)],
)
def test_a_button_that_turns_of_itself_to_another_car_asks_for_a_longer_look(
    offers: tuple[NextBar, Offer],
    then: Callable[[Offer], Offer],
    settles_ms: int,
    monkeypatch: pytest.MonkeyPatch,
):
    bar, shown = offers
    assert isinstance(shown.action, Start)
    monkeypatch.setattr("bayapp.screen.widgets.fingers.OWN_MS", 0)
    now = [1_000_000]
    monkeypatch.setattr(glove_button, "now_ms", lambda: now[0])
    bar.show_offers(then(replace(shown, action=replace(shown.action, by=None))), None)
    now[0] += settles_ms - 1
    assert not bar.main.settled()
    now[0] += 1
    assert bar.main.settled()


def test_a_key_that_comes_too_soon_is_told(
    offers: tuple[NextBar, Offer], board: Walled, sound: QuietSound, monkeypatch: pytest.MonkeyPatch
):
    bar, shown = offers
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    bar.show_offers(replace(shown, title="Begin: other"), None)
    QTest.keyClick(board.wall, Qt.Key.Key_Space)
    board.let_keys_through()
    assert sound.knocks == 1
