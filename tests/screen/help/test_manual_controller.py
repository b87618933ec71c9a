"""Help by touch: from "More" to the topics, to one of them, and back one level at a time."""

from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication

from bayapp.pages.help.manual import topics
from bayapp.screen.help.manual import ManualPage
from bayapp.screen.help.manual_controller import MOST
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled


def open_help(board: Walled) -> None:
    board.press(board.wall.next_bar.more)
    board.choose("Help")


def page(board: Walled) -> ManualPage:
    (found,) = board.wall.findChildren(ManualPage)
    return found


def test_the_topics_stand_under_more(board: Walled):
    open_help(board)
    assert board.choices()[:MOST] == [topic.title for topic in topics()][:MOST]


def test_a_touch_opens_a_topic(board: Walled):
    open_help(board)
    board.choose("Waits and calls")
    assert page(board).isVisible()
    assert "earliest moment" in page(board).document.toPlainText()


def test_back_leads_from_a_topic_to_the_topics_and_from_there_to_more(board: Walled):
    open_help(board)
    board.choose("The board")
    board.press(page(board).close_button)
    assert not page(board).isVisible()
    assert "The board" in board.choices()
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.pages.choices.title == "More"


def test_whoever_read_one_of_the_later_topics_comes_back_to_those(board: Walled):
    open_help(board)
    board.choose("More")
    later = [title for title in board.choices() if title != "More"]
    assert later == [topic.title for topic in topics()][MOST : 2 * MOST]
    board.choose("Backup")
    board.press(page(board).close_button)
    assert [title for title in board.choices() if title != "More"] == later


def test_every_topic_can_be_opened_by_touch(board: Walled):
    for topic in topics():
        open_help(board)
        while topic.title not in board.choices():
            board.choose("More")
        board.choose(topic.title)
        assert page(board).isVisible(), topic.name
        board.press(page(board).close_button)
        board.press(board.wall.pages.choices.close_button)


def test_what_one_may_need_at_once_stands_among_the_first_topics(board: Walled):
    open_help(board)
    assert {"When something is wrong", "Cautions", "Waits and calls"} <= set(board.choices())


def test_help_is_there_where_no_car_is(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as board:
        QCoreApplication.processEvents()
        board.press(board.wall.next_bar.more)
        assert "Help" in board.choices()


@pytest.mark.parametrize("size", [(1920, 1080), (1280, 800)])
def test_an_alert_beside_a_topic_takes_its_room_and_nothing_of_the_text(hand, size: tuple[int, int]):
    with walled(hand, size) as board:
        board.answer_all()
        open_help(board)
        board.choose("First day")
        board.wait(71)
        assert board.wall.band.isVisible()
        shown = page(board)
        assert not shown.geometry().intersects(board.wall.band.geometry())
        assert shown.document.pageSize().height() == pytest.approx(shown.text_box().height())
