"""Zones set aside by touch, with a reason from big buttons, and taken up again; the car and the clocks follow."""

import pytest
from PySide6.QtGui import QImage

from bayapp.job.model.ids import ZoneId
from bayapp.job.state.events import ZoneSetAside, ZoneTakenUp
from bayapp.pages.board.phrases import aside_reasons
from tests.pages.bays import ASH, CAR, HandBay
from tests.screen.walls import Walled, walled

SCREEN = ZoneId("windscreen")


def aside(wall: Walled) -> dict[ZoneId, str]:
    return dict(wall.hand.bay.state.jobs[CAR].aside)


def picture(wall: Walled) -> QImage:
    return wall.wall.car.grab().toImage()


def test_a_zone_is_set_aside_by_three_touches_and_taken_up_by_two(board: Walled):
    before = picture(board)
    board.touch(SCREEN)
    board.press(board.wall.ladder_bar.aside)
    assert board.choices() == [reason[:1].upper() + reason[1:] for reason in aside_reasons()]
    board.choose("Part is missing")
    assert board.wall.car.isVisible()
    assert aside(board) == {SCREEN: "part is missing"}
    event = board.hand.journal.read()[-1]
    assert isinstance(event, ZoneSetAside)
    assert (event.zone, event.reason, event.by) == (SCREEN, "part is missing", ASH)
    assert picture(board) != before
    assert "Windscreen" not in [b.tile.title for b in board.wall.column.buttons if b.tile and b.isVisible()]

    board.touch(SCREEN)
    assert not board.wall.ladder_bar.aside.isVisible()
    assert board.wall.ladder_bar.main.title == "Take up again"
    board.press(board.wall.ladder_bar.main)
    assert isinstance(board.hand.journal.read()[-1], ZoneTakenUp)
    assert aside(board) == {}
    assert board.wall.ladder.isVisible()
    board.press(board.wall.ladder.close_button)
    assert picture(board) == before


def test_a_whole_set_is_set_aside_and_taken_up_by_one_touch(board: Walled):
    zones = tuple(ZoneId(f"glass-left-{place}") for place in ("front", "rear", "quarter"))
    board.wall.pages.show_ladder(CAR, zones)
    board.press(board.wall.ladder_bar.aside)
    board.choose("Not ordered")
    assert aside(board) == dict.fromkeys(zones, "not ordered")
    board.wall.pages.show_ladder(CAR, zones)
    board.press(board.wall.ladder_bar.main)
    assert aside(board) == {}


def test_leaving_the_page_sets_nothing_aside(board: Walled):
    board.touch(SCREEN)
    board.press(board.wall.ladder_bar.aside)
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert aside(board) == {}


def test_what_was_begun_while_the_page_stood_open_is_refused_with_its_reason(board: Walled):
    board.touch(SCREEN)
    board.wait(71)
    board.answer_all()
    board.press(board.wall.ladder_bar.aside)
    action = board.wall.ladder_bar.action
    assert action
    assert board.hand.bay.request(action).accepted
    board.choose("Not ordered")
    assert aside(board) == {}
    assert "is being worked on" in board.sentences()


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_an_alert_that_called_for_it_is_answered_by_setting_it_aside(hand: HandBay, theme: str):
    with walled(hand, theme=theme) as wall:
        wall.answer_all()
        wall.wait(71)
        assert any(SCREEN in a.condition.zones for a in hand.bay.alerts.unanswered())
        wall.wall.pages.show_ladder(CAR, (SCREEN,))
        wall.press(wall.wall.ladder_bar.aside)
        wall.choose("No time today")
        assert not any(SCREEN in a.condition.zones for a in hand.bay.alerts.unanswered())
