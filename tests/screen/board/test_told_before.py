"""A step that closes the way for others is begun by a hold of two seconds, and by no shorter touch."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QSignalSpy, QTest

from bayapp.job import SetAside, Start, TakeUp
from bayapp.job.model.ids import StepId
from bayapp.job.state.events import StepStarted
from bayapp.pages.wanted import WhyCarryOn
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import HandBay
from tests.pages.glass_first import KIM, LOU, SALOON, SCREEN, SIDES, WHY, before_the_coat
from tests.screen.walls import Walled, walled


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    with before_the_coat(tmp_path) as found:
        yield found


@pytest.fixture
def saloon(hand: HandBay) -> Iterator[Walled]:
    with walled(hand) as found:
        yield found


def begun(wall: Walled) -> list[StepId]:
    return [e.step for e in wall.hand.journal.read() if isinstance(e, StepStarted)][3:]


def held(button: GloveButton) -> None:
    """Keep a finger on a button as long as a hold takes."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(glove_button, "HOLD_MS", 1)
        heard = QSignalSpy(button.held)
        QTest.mousePress(button, Qt.MouseButton.LeftButton, pos=button.rect().center())
        assert heard.wait(5_000), "it is not to be held"
        QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=button.rect().center())
    QCoreApplication.processEvents()


def test_on_a_ladder_a_short_touch_begins_nothing_and_a_hold_begins_the_coat(saloon: Walled):
    saloon.wall.pages.show_ladder(SALOON, SCREEN)
    QCoreApplication.processEvents()
    main = saloon.wall.ladder_bar.main
    assert (main.title, main.detail) == ("Hold 2 s: coat up and down (Kim)", WHY)
    saloon.press(main)
    assert begun(saloon) == []
    assert saloon.wall.ladder.isVisible()
    held(main)
    assert begun(saloon) == ["coat-1"]


def test_on_the_board_the_touch_opens_nothing_and_the_hold_opens_the_choice_of_layers(saloon: Walled):
    second = saloon.wall.next_bar.instead
    assert (second.title, second.detail) == ("Or hold 2 s: coat up and down, windscreen (Kim)", WHY)
    saloon.press(second)
    assert saloon.wall.car.isVisible(), "nothing happened"
    held(second)
    assert saloon.wall.ladder.isVisible(), "one of three layers: which comes first is asked there"
    assert begun(saloon) == []


def test_the_foot_switch_does_not_begin_what_must_be_held(saloon: Walled):
    saloon.wall.pages.show_ladder(SALOON, SCREEN)
    QCoreApplication.processEvents()
    saloon.wall.press_main()
    assert begun(saloon) == []


def test_a_touch_on_what_has_come_to_close_the_way_unseen_begins_nothing_and_shows_it(saloon: Walled):
    bay = saloon.hand.bay
    assert bay.request(SetAside(SALOON, SIDES, "not today", LOU)).accepted
    saloon.wall.pages.show_ladder(SALOON, SCREEN)
    QCoreApplication.processEvents()
    main = saloon.wall.ladder_bar.main
    assert main.title == "Begin: coat up and down (Kim)"
    assert bay.request(TakeUp(SALOON, SIDES, LOU)).accepted
    saloon.press(main)
    assert begun(saloon) == []
    assert main.title == "Hold 2 s: coat up and down (Kim)"


def test_before_a_deviation_that_closes_the_way_the_page_of_reasons_says_so(saloon: Walled):
    """The coat comes before its wipe has been done again: refused, and carried on with all the same."""
    saloon.hand.wait(31 * 60)  # the wipe has lapsed
    coat = Start(SALOON, SCREEN, StepId("coat-1"), KIM)
    assert saloon.hand.bay.judge(coat).refusal
    saloon.wall.pages.want(WhyCarryOn(coat))
    assert saloon.sentences() == WHY
    saloon.press(saloon.wall.pages.choices.buttons[0])
    assert begun(saloon) == ["coat-1"]
