"""What stands in the place of the car, and where the way back leads."""

from PySide6.QtWidgets import QWidget

from bayapp.job.model.ids import ZoneId
from bayapp.pages.wanted import NoteAbout, Page
from tests.pages.bays import CAR
from tests.screen.walls import Walled

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


def test_from_a_choice_over_a_page_the_way_back_leads_to_that_page(board: Walled):
    pages = board.wall.pages
    pages.want(Page.SHELF)
    shelf = standing(board)
    assert shelf not in (None, pages.choices)
    pages.want(Page.CAUTIONS)
    assert standing(board) is pages.choices
    pages.back()
    assert standing(board) is shelf
    pages.back()
    assert board.wall.car.isVisible()


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
