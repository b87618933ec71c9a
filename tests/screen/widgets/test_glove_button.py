"""The one button: a click, a hold of two seconds, and never both."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, Qt
from PySide6.QtGui import QColor, QMouseEvent
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from bayapp.drawing.palette import PALETTES, Palette
from bayapp.job.model.ids import Urgency
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.fingers import Finger, now_ms
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import Measure


@pytest.fixture
def look() -> Look:
    return Look(PALETTES["dark"], Measure(3.0))


@pytest.fixture
def button(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, look: Look) -> Iterator[GloveButton]:
    """A button that takes every touch for meant, unless a test sets ``SETTLE_MS`` back."""
    monkeypatch.setattr(glove_button, "SETTLE_MS", 0)
    found = GloveButton(look)
    qtbot.addWidget(found)
    found.resize(240, 90)
    found.show()
    yield found
    found.close()
    found.deleteLater()


def press(button: GloveButton) -> None:
    QTest.mousePress(button, Qt.MouseButton.LeftButton, pos=button.rect().center())


def release(button: GloveButton) -> None:
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=button.rect().center())


def test_a_touch_is_a_click(qtbot: QtBot, button: GloveButton):
    with qtbot.waitSignal(button.clicked), qtbot.assertNotEmitted(button.held):
        press(button)
        release(button)


def test_a_button_that_has_just_come_up_takes_a_touch_for_a_bounce(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(glove_button, "SETTLE_MS", 200)
    button.hide()
    button.show()
    with qtbot.assertNotEmitted(button.clicked):
        press(button)
        release(button)
    assert not button.isDown()
    QTest.qWait(250)
    with qtbot.waitSignal(button.clicked):
        press(button)
        release(button)


def test_a_finger_that_goes_on_to_another_place_of_a_new_page_is_meant_sooner(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch, look: Look
):
    """A bounce falls where the last touch was; a new page is known after a quarter of a second."""
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    monkeypatch.setattr(glove_button, "ELSEWHERE", 0.0)
    here = QPointF(button.mapToGlobal(button.rect().center()))
    for away, counts in ((QPointF(0, 0), False), (QPointF(look.mm(60), 0), True)):
        button.hide()
        button.show()
        look.fingers.last = Finger(here + away, now_ms() - 1_000, dated=True, stamp=1)
        with qtbot.waitSignal(button.clicked, timeout=200, raising=False) as click:
            press(button)
            release(button)
        assert click.signal_triggered is counts


def test_words_that_changed_by_themselves_need_the_whole_pause_from_every_side(
    button: GloveButton, monkeypatch: pytest.MonkeyPatch, look: Look
):
    button.show_words("Begin: coat, left side glass")
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    monkeypatch.setattr(glove_button, "ELSEWHERE", 0.0)
    button.show_words("Begin: polish, bonnet")
    look.fingers.last = Finger(QPointF(-1000, -1000), now_ms() - 1_000, dated=True, stamp=1)
    press(button)
    assert not button.settled()
    release(button)


def came_down(button: GloveButton, ago_ms: int) -> None:
    """Let a busy window hear of a whole touch by so much later than it was made."""
    at = now_ms() - ago_ms
    left, none, unmodified = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    here = QPointF(button.rect().center())
    for kind, held in ((QEvent.Type.MouseButtonPress, left), (QEvent.Type.MouseButtonRelease, none)):
        event = QMouseEvent(kind, here, button.mapToGlobal(here), left, held, unmodified)
        event.setTimestamp(at)
        QCoreApplication.sendEvent(button, event)


@pytest.fixture
def not_taken(look: Look) -> list[QPointF]:
    """Where on the screen touches were that the wall says it did not take."""
    told: list[QPointF] = []
    look.fingers.not_taken = told.append
    return told


def test_a_touch_belongs_to_what_stood_there_when_the_finger_came_down(
    qtbot: QtBot, button: GloveButton, not_taken: list[QPointF]
):
    """However late a busy window hears of it; and where that has gone, it is told."""
    button.show_words("Begin: coat, left side glass")
    qtbot.wait(30)
    button.show_words("Begin: polish, bonnet")
    with qtbot.assertNotEmitted(button.clicked):
        came_down(button, ago_ms=500)  # not painted yet
    assert len(not_taken) == 1
    qtbot.wait(20)
    with qtbot.assertNotEmitted(button.clicked):
        came_down(button, ago_ms=200)  # painted by now, but not then
    assert len(not_taken) == 2
    with qtbot.waitSignal(button.clicked):
        came_down(button, ago_ms=0)
    assert len(not_taken) == 2


def test_a_touch_that_a_busy_window_hears_of_late_counts_for_what_has_long_been_there(
    qtbot: QtBot, button: GloveButton, not_taken: list[QPointF]
):
    button.show_words("Done")
    qtbot.wait(60)
    with qtbot.waitSignal(button.clicked):
        came_down(button, ago_ms=40)
    assert not_taken == []


def test_a_touch_too_soon_after_a_change_is_told_and_a_mere_bounce_is_not(
    button: GloveButton, not_taken: list[QPointF], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(glove_button, "SETTLE_MS", 100_000)
    button.show_words("Begin: coat")
    button.show_words("Done: coat")
    came_down(button, ago_ms=400)
    assert not_taken == [QPointF(button.mapToGlobal(button.rect().center()))]
    came_down(button, ago_ms=300)  # the same finger, thrown up
    assert len(not_taken) == 1
    came_down(button, ago_ms=0)
    assert len(not_taken) == 2


def test_a_touch_whose_button_goes_from_under_the_finger_is_told(button: GloveButton, not_taken: list[QPointF]):
    press(button)
    button.hide()
    assert len(not_taken) == 1
    button.show()
    press(button)
    release(button)
    button.hide()
    assert len(not_taken) == 1


def test_two_touches_in_one_breath_are_one(qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch):
    """Whatever the button says: "undo" says the same when it would take back one more."""
    press(button)
    release(button)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 600)
    with qtbot.assertNotEmitted(button.clicked):
        press(button)
        release(button)


def test_a_button_without_hold_stays_silent_however_long_it_is_held(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(glove_button, "HOLD_MS", 50)
    with qtbot.assertNotEmitted(button.held, wait=150):
        press(button)
    release(button)


def test_two_seconds_are_two_seconds(qtbot: QtBot, button: GloveButton):
    button.hold_to_act = True
    with qtbot.assertNotEmitted(button.held, wait=1_900):
        press(button)
    with qtbot.waitSignal(button.held, timeout=1_000):
        pass
    release(button)


def test_after_a_hold_no_click_follows(qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(glove_button, "HOLD_MS", 50)
    button.hold_to_act = True
    with qtbot.waitSignal(button.held, timeout=2_000):
        press(button)
    with qtbot.assertNotEmitted(button.clicked, wait=100):
        release(button)
    assert not button.isDown()


def test_a_hold_that_is_let_go_early_is_forgotten(qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(glove_button, "HOLD_MS", 150)
    button.hold_to_act = True
    with qtbot.assertNotEmitted(button.held, wait=250):
        press(button)
        QTest.qWait(50)
        release(button)
    assert not button.counts_hold


def test_a_button_that_is_hidden_while_it_is_held_stops_counting(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch
):
    """The page may turn under a finger: what is not seen is not held."""
    monkeypatch.setattr(glove_button, "HOLD_MS", 100)
    button.hold_to_act = True
    press(button)
    with qtbot.assertNotEmitted(button.held, wait=200):
        button.hide()
    assert not button.counts_hold


def test_a_button_that_may_be_pressed_again_while_it_is_held_is_not_held_any_more(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch
):
    """The wait opened under the finger: no reason is asked for what is right now."""
    monkeypatch.setattr(glove_button, "HOLD_MS", 100)
    button.hold_to_act = True
    press(button)
    with qtbot.assertNotEmitted(button.held, wait=200):
        button.hold_to_act = False
    release(button)


def test_words_that_change_under_the_finger_are_neither_held_nor_touched(
    qtbot: QtBot, button: GloveButton, monkeypatch: pytest.MonkeyPatch
):
    """The finger came down on other words: what stands there by now was not meant."""
    monkeypatch.setattr(glove_button, "HOLD_MS", 100)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 0)
    button.show_words("Not yet: coat")
    button.hold_to_act = True
    press(button)
    with qtbot.assertNotEmitted(button.held, wait=200):
        button.show_words("Not yet: wipe")
    with qtbot.assertNotEmitted(button.clicked, wait=50):
        release(button)
    assert not button.isDown()


@pytest.mark.parametrize("style", list(Style))
def test_words_are_given_to_those_who_cannot_see_them(button: GloveButton, style: Style):
    button.show_words("Begin", "now", style=style)
    assert (button.text(), button.accessibleDescription()) == ("Begin", "now")
    assert not button.grab().isNull()


def test_the_same_words_paint_nothing_again(qtbot: QtBot, button: GloveButton):
    button.show_words("Begin", "now")
    button.grab()
    calls = list[int]()
    button.update = lambda *_: calls.append(1)  # type: ignore[method-assign]
    button.show_words("Begin", "now")
    assert calls == []
    button.show_words("Begin", "later")
    assert calls == [1]


@pytest.mark.parametrize("palette", PALETTES.values(), ids=lambda palette: palette.name)
@pytest.mark.parametrize("urgency", [Urgency.OPEN, Urgency.IDLE], ids=lambda urgency: urgency.value)
def test_what_is_next_and_does_not_press_has_the_colour_of_its_flag_and_its_state_beside_it(
    qtbot: QtBot, palette: Palette, urgency: Urgency
):
    """Yellow is "open"; were the button yellow too, it would seem to speak of every zone that is."""
    made = GloveButton(Look(palette, Measure(4.0)))
    qtbot.addWidget(made)
    made.resize(800, 140)
    made.show_words("Begin", style=Style.FILLED, badge=urgency)
    picture = made.grab().toImage()
    assert picture.pixelColor(760, 70) == QColor(palette.flag)
    assert picture.pixelColor(12, 70) == QColor(palette.state(urgency))
