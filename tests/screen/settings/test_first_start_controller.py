"""The first start by touch: answers are saved one by one, it can be left at any point, and a shop is asked once."""

from bayapp.files.shop.settings import load_settings, settings_file
from bayapp.job.model.ids import Person
from bayapp.pages.settings.first_start import Named, Touch
from bayapp.pages.settings.hours import HourEdge, StretchCount
from bayapp.pages.settings.settings import Setting
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.cells_page import CellsPage
from tests.screen.walls import Walled


def opened(board: Walled) -> CellsPage:
    settings_file(board.hand.store).unlink(missing_ok=True)
    board.turn_to("first-start")
    (page,) = (page for page in board.wall.findChildren(CellsPage) if page.isVisible())
    return page


def test_a_shop_answers_five_questions_and_takes_its_first_car_in(board: Walled):
    page = opened(board)
    board.press(page.buttons[Setting.LETTERS, 1])
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[StretchCount(1), 0])
    board.press(page.buttons[HourEdge(0), -1])
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[Touch.ADD_NAME, 0])
    (typing,) = board.wall.findChildren(TypingPage)
    for key in "CY":
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    board.press(typing.record_button)
    assert page.isVisible(), "one more name, or on"
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[Setting.BAY_M3, 1])
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[Setting.VOLUME, -1])
    board.press(page.buttons[Touch.NEXT, 0])
    now = load_settings(board.hand.store)
    assert (now.letters, now.people, now.bay_m3, now.volume) == (1.1, ("Cy",), 100.0, 0.9)
    assert [str(stretch) for stretch in now.hours] == ["07:45-12:30"]
    assert board.wall.pages.choices.title == "Which car?"


def test_it_is_left_at_any_point_and_a_shop_is_not_asked_again(board: Walled):
    page = opened(board)
    board.press(page.close_button)
    assert load_settings(board.hand.store).first_start == "done"
    assert board.wall.pages.choices.title == "Which car?"


def test_whoever_is_interrupted_keeps_the_answers_and_is_asked_again(board: Walled):
    page = opened(board)
    board.press(page.buttons[Setting.LETTERS, 1])
    board.turn_to("more")
    now = load_settings(board.hand.store)
    assert (now.letters, now.first_start) == (1.1, "asking")


def test_a_name_that_is_not_wanted_after_all_leads_back_to_the_people(board: Walled):
    page = opened(board)
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[Touch.NEXT, 0])
    board.press(page.buttons[Touch.ADD_NAME, 0])
    (typing,) = board.wall.findChildren(TypingPage)
    board.press(typing.close_button)
    assert page.isVisible()
    board.press(page.buttons[Touch.BEFORE, 0])
    assert StretchCount(2) in {cell.key for cell in page.cells}


def asked_about(board: Walled, question: int) -> CellsPage:
    page = opened(board)
    for _n in range(question):
        board.press(page.buttons[Touch.NEXT, 0])
    return page


def test_a_name_typed_wrongly_is_taken_out_where_it_was_typed(board: Walled):
    page = asked_about(board, 2)
    board.press(page.buttons[Touch.ADD_NAME, 0])
    (typing,) = board.wall.findChildren(TypingPage)
    for key in "CY":
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    board.press(typing.record_button)
    board.press(page.buttons[Named(Person("Cy")), 0])
    assert load_settings(board.hand.store).people == ()
    assert Named(Person("Cy")) not in {cell.key for cell in page.cells}


def test_bays_named_on_the_way_lead_back_to_the_question(board: Walled):
    page = asked_about(board, 3)
    board.press(page.buttons[Setting.BAYS, 0])
    board.choose("Add a bay")
    board.choose("Bay 1")
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.pages.choices.title == "Bays"
    board.press(board.wall.pages.choices.close_button)
    assert page.isVisible()
    assert next(cell.value for cell in page.cells if cell.key is Setting.BAYS) == "Bay 1"


def test_the_sound_check_leads_back_to_the_question(board: Walled):
    page = asked_about(board, 4)
    board.press(page.buttons[Touch.CHECK_SOUND, 0])
    assert not page.isVisible()
    board.press(board.wall.pages.choices.close_button)
    assert page.isVisible()
