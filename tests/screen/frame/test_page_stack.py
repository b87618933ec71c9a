"""What stands in the place of the car, and where the way back leads."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QWidget

from bayapp.job import Refusal, Why
from bayapp.job.grounds import Bare
from bayapp.job.model.ids import BottleId, Code, ZoneId
from bayapp.pages.wanted import NoteAbout, Page, Refused, ShowBottle
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.cells_page import CellsPage
from tests.pages.bays import CAR, hand_bay
from tests.screen.walls import Walled, walled

ROOF = (ZoneId("roof"),)


def standing(board: Walled) -> QWidget | None:
    return board.wall.pages.standing


def test_from_a_choice_over_a_ladder_the_way_back_leads_to_the_ladder_and_then_to_the_car(board: Walled):
    pages = board.wall.pages
    pages.show_ladder(CAR, ROOF)
    pages.want(NoteAbout(CAR, ROOF))
    assert standing(board) is pages.choices
    pages.back()
    assert standing(board) is board.wall.ladder
    pages.back()
    assert standing(board) is None
    assert board.wall.selection.zones == ()


def up_to_the_board(board: Walled) -> list[str]:
    """Press the way back until the board stands there; return the titles of the pages on the way."""
    titles = []
    while (page := standing(board)) is not None:
        titles.append(board.wall.pages.choices.title if page is board.wall.pages.choices else type(page).__name__)
        board.press(page.close_button)  # type: ignore[attr-defined]
        assert len(titles) < 9, "the way back goes round in a circle"
    return titles


def test_back_goes_up_one_level_always_to_the_same_place_from_wherever_a_page_was_opened(board: Walled):
    pages = board.wall.pages
    for before in (Page.SHELF, Page.AIR_DAY, Page.MORE):
        pages.want(before)
        pages.want(Page.HOURS)
        titles = up_to_the_board(board)
        assert titles == ["CellsPage", "CellsPage", "More"], before
    pages.want(ShowBottle(BottleId("bottle-3")))
    assert up_to_the_board(board)[1:] == ["ShelfPage", "More"]


def test_a_notice_over_a_page_leads_back_to_the_page_as_it_stood(board: Walled):
    pages = board.wall.pages
    pages.want(Page.SHELF)
    shelf = standing(board)
    pages.want(Refused((Refusal(Code.UNKNOWN, Bare(Why.NO_ZONE)),)))
    assert standing(board) is pages.choices
    board.press(pages.choices.close_button)
    assert standing(board) is shelf


def test_a_question_inside_a_page_leads_back_to_that_page_and_not_past_it(board: Walled):
    board.wall.pages.want(Page.SETTINGS)
    board.wall.pages.want(Page.NAMES)
    board.choose("Recorded")
    assert board.wall.pages.choices.title == "People"
    board.press(board.wall.pages.choices.close_button)
    assert isinstance(standing(board), CellsPage)


def test_no_way_back_leads_to_a_keypad_that_would_record_once_more(board: Walled):
    """The figure is recorded, then the bottle asks why it leaves: back is the bottle, and never the figure."""
    pages = board.wall.pages
    pages.want(ShowBottle(BottleId("bottle-3")))
    board.choose("How much is left?")
    (typing,) = board.wall.findChildren(TypingPage)
    assert standing(board) is typing
    board.press(next(b for b in typing.keys if b.isVisible() and b.title == "1"))
    board.press(typing.record_button)
    before = board.events()
    board.choose("It leaves the shelf")
    titles = up_to_the_board(board)
    assert "TypingPage" not in titles
    assert titles[0] == "Why does it leave the shelf?"
    assert titles[-2:] == ["ShelfPage", "More"]
    assert board.events() == before


def test_back_from_the_zones_of_a_new_car_leads_to_its_form_and_then_to_the_cars_also_in_an_empty_bay(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        wall.wall.pages.want(Page.CARS)
        wall.choose("New car")
        new_job = wall.openers.new_job
        wall.press(next(b for b in new_job.forms.buttons if b.title.startswith("Estate")))
        wall.press(new_job.work.sets[0])
        wall.press(new_job.work.next)
        assert new_job.begin.isVisible()
        wall.press(new_job.begin.close_button)
        assert new_job.work.isVisible()
        wall.press(new_job.work.close_button)
        assert new_job.forms.isVisible()
        wall.press(new_job.forms.close_button)
        assert wall.wall.pages.choices.title == "Which car?"


@pytest.mark.parametrize("page", [page for page in Page if page not in (Page.LOCK, Page.SENSORS)])
def test_every_page_leads_back_to_the_board_in_a_few_touches(board: Walled, page: Page):
    board.wall.pages.want(page)
    before = board.events()
    assert len(up_to_the_board(board)) <= 3
    assert board.wall.car.isVisible()
    assert board.events() == before


def test_only_what_stands_there_is_seen_and_the_bar_goes_with_it(board: Walled):
    wall, pages = board.wall, board.wall.pages
    for wanted in (Page.SHELF, Page.SETTINGS, Page.CAUTIONS):
        pages.want(wanted)
        assert [page for page in pages.pages if page.isVisible()] == [pages.standing]
        assert (wall.car.isVisible(), wall.next_bar.isVisible(), wall.ladder_bar.isVisible()) == (False, True, False)
    pages.show_ladder(CAR, ROOF)
    assert (wall.car.isVisible(), wall.next_bar.isVisible(), wall.ladder_bar.isVisible()) == (False, False, True)


def test_without_a_car_there_is_no_ladder_to_open(board: Walled):
    board.wall.pages.show_ladder(None, ROOF)
    assert board.wall.pages.standing is None
