"""The shelf by touch and by scanner, on a real wall: what is pressed is what stands in the journal."""

from datetime import date

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest

from bayapp.files.save_document import save_document
from bayapp.job import Product
from bayapp.job.state.events import (
    BottleChosen,
    BottleEvent,
    BottleFinished,
    BottleMeasured,
    BottleOpened,
    BottlePutBack,
    BottleRelabelled,
    BottleShelved,
)
from bayapp.pages.wanted import Page
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.shelf.shelf import ShelfPage
from tests.pages.bays import ASH
from tests.screen.walls import Walled

LABEL = "01062910415002131727123110LOT-A7"


def page(board: Walled) -> ShelfPage:
    (found,) = board.wall.findChildren(ShelfPage)
    return found


def scan(board: Walled, text: str) -> None:
    for character in text:
        event = QKeyEvent(QEvent.Type.KeyPress, ord(character.upper()), Qt.KeyboardModifier.NoModifier, character)
        QCoreApplication.sendEvent(board.wall, event)
    end = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier, "\r")
    QCoreApplication.sendEvent(board.wall, end)


def keys(board: Walled, text: str) -> None:
    (typing,) = board.wall.findChildren(TypingPage)
    for key in text:
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))


def record(board: Walled) -> None:
    (typing,) = board.wall.findChildren(TypingPage)
    board.press(typing.record_button)


def open_shelf(board: Walled) -> None:
    board.wall.pages.want(Page.MORE)
    board.choose("Shelf")
    assert page(board).isVisible()


def open_bottle(board: Walled, number: int) -> None:
    open_shelf(board)
    button = next(b for b in page(board).bottles if b.isVisible() and b.title.startswith(f"{number}:"))
    board.press(button)


def last(board: Walled) -> BottleEvent:
    event = board.hand.journal.read()[-1]
    assert isinstance(event, BottleEvent)
    return event


def test_the_shelf_is_two_touches_away_and_shows_every_bottle(board: Walled):
    open_shelf(board)
    seen = {b.title for b in page(board).bottles if b.isVisible()}
    if page(board).more_button.isVisible():
        board.press(page(board).more_button)
        seen |= {b.title for b in page(board).bottles if b.isVisible()}
    assert len(seen) == len(board.hand.bay.state.shelf.bottles) == 9
    board.press(page(board).close_button)
    assert board.wall.pages.choices.title == "More"


@pytest.mark.parametrize(
    ("number", "choice", "kind"),
    [(2, "Use this one", BottleChosen), (2, "Opened just now", BottleOpened), (1, "Not opened", BottleOpened)],
)
def test_a_bottle_is_chosen_and_opened_by_touch(board: Walled, number: int, choice: str, kind: type):
    open_bottle(board, number)
    board.choose(choice)
    event = last(board)
    assert type(event) is kind
    assert (event.bottle, event.by) == (f"bottle-{number}", ASH)


def test_what_is_left_is_typed_in_millilitres_and_in_grams(board: Walled):
    open_bottle(board, 1)
    board.choose("How much is left?")
    keys(board, "31.5")
    record(board)
    assert isinstance(event := last(board), BottleMeasured)
    assert (event.ml, event.how) == (31.5, "eye")
    board.choose("Weigh it")
    keys(board, "64")
    record(board)
    assert isinstance(event := last(board), BottleMeasured)
    assert (event.ml, event.how, event.grams) == (30.0, "weight", 64.0)


def test_more_than_a_bottle_can_hold_is_refused_with_the_reason(board: Walled):
    before = board.events()
    open_bottle(board, 1)
    board.choose("How much is left?")
    keys(board, "500")
    record(board)
    assert board.events() == before
    assert "up to 55 ml is possible" in board.sentences()


def test_batch_and_date_are_put_right(board: Walled):
    open_bottle(board, 1)
    board.choose("The batch is wrong")
    keys(board, "GLX")
    record(board)
    assert isinstance(event := last(board), BottleRelabelled)
    assert event.batch == "GLX"
    board.choose("The date is wrong")
    keys(board, "202803")
    record(board)
    assert isinstance(event := last(board), BottleRelabelled)
    assert (event.batch, event.expires_on) == ("GLX", date(2028, 3, 31))


def test_a_bottle_leaves_the_shelf_for_a_reason_and_comes_back(board: Walled):
    open_bottle(board, 1)
    board.choose("It leaves the shelf")
    board.choose("Spilled or broken")
    assert isinstance(event := last(board), BottleFinished)
    assert event.reason == "spilled or broken"
    assert not any(b.title.startswith("1:") for b in page(board).bottles if b.isVisible())
    board.press(page(board).gone_button)
    board.choose("1: Orrelin Glass Coat")
    board.choose("Put it back")
    assert isinstance(last(board), BottlePutBack)


def test_a_bottle_is_shelved_without_a_scanner(board: Walled):
    open_shelf(board)
    board.press(page(board).new_button)
    board.choose("Orrelin Glass Coat")
    board.choose("Type the batch")
    keys(board, "GLZ")
    record(board)
    board.choose("Type the date")
    keys(board, "20280630")
    record(board)
    board.choose("100 ml")
    before = board.events()
    board.choose("Put it on the shelf")
    assert board.events() == before + 1
    assert isinstance(event := last(board), BottleShelved)
    assert (event.batch, event.expires_on, event.size_ml, event.bottle) == (
        "GLZ",
        date(2028, 6, 30),
        100.0,
        "bottle-10",
    )
    assert event.product.name == "glass-coat"
    assert page(board).isVisible()


def test_a_scan_shows_batch_and_date_and_records_nothing_by_itself(board: Walled):
    before = board.events()
    scan(board, LABEL)
    board.choose("Orrelin Glass Coat")
    board.choose("50 ml")
    assert board.choices()[:2] == ["Batch LOT-A7", "Good until 31 Dec 2027"]
    assert board.events() == before
    board.choose("Put it on the shelf")
    assert isinstance(event := last(board), BottleShelved)
    assert (event.batch, event.gtin) == ("LOT-A7", "06291041500213")


def test_the_second_scan_of_a_number_asks_no_product_and_finds_the_bottle(board: Walled):
    scan(board, LABEL)
    for choice in ("Orrelin Glass Coat", "50 ml", "Put it on the shelf"):
        board.choose(choice)
    scan(board, LABEL)
    assert board.choices() == ["Bottle 10, batch LOT-A7", "One more like it"]
    board.choose("One more like it")
    board.choose("Put it on the shelf")
    assert last(board).bottle == "bottle-11"


def test_a_scan_in_doubt_offers_its_readings_and_cannot_be_shelved_unseen(board: Walled):
    scan(board, "010629104150021310LOT-A717271231")
    board.choose("Orrelin Glass Coat")
    assert "Batch LOT-A7" in board.choices()
    before = board.events()
    button = next(b for b in board.wall.pages.choices.buttons if b.isVisible() and b.title == "Batch LOT-A7")
    assert button.detail == "Good until 31 Dec 2027"
    board.press(button)
    board.choose("50 ml")
    assert board.events() == before
    board.choose("Put it on the shelf")
    assert isinstance(event := last(board), BottleShelved)
    assert (event.batch, event.expires_on) == ("LOT-A7", date(2027, 12, 31))


def test_a_far_date_must_be_compared_part_by_part(board: Walled):
    scan(board, "01062910415002131777010110A")
    board.choose("Orrelin Glass Coat")
    board.choose("50 ml")
    assert "Put it on the shelf" not in board.choices()
    board.choose("Batch A")
    assert "Put it on the shelf" not in board.choices()
    board.choose("Good until 1 Jan 1977")
    assert "Put it on the shelf" in board.choices()


def test_a_bad_scan_says_why_and_what_to_do(board: Walled):
    before = board.events()
    scan(board, "01062910415002141727123110LOT-A7")
    assert "check digit of 06291041500214 is wrong. Scan again." in board.sentences()
    board.choose("Type it instead")
    assert "Orrelin Glass Coat" in board.choices()
    assert board.events() == before


def test_a_scan_begins_no_step_and_a_foot_switch_still_does(board: Walled):
    before = board.events()
    scan(board, LABEL)
    QTest.qWait(400)
    assert board.events() == before
    board.wall.pages.show_board()
    QTest.keyClick(board.wall, Qt.Key.Key_Space)
    board.let_keys_through()
    assert board.events() > before


def test_digits_of_a_keyboard_are_typed_and_begin_no_step(board: Walled):
    open_bottle(board, 1)
    board.choose("How much is left?")
    before = board.events()
    for key in (Qt.Key.Key_3, Qt.Key.Key_1):
        QTest.keyClick(board.wall, key)
        QTest.qWait(200)
    assert board.events() == before
    QTest.keyClick(board.wall, Qt.Key.Key_Return)
    board.let_keys_through()
    assert isinstance(event := last(board), BottleMeasured)
    assert event.ml == 31


def test_a_product_that_was_made_by_touch_is_offered_for_a_bottle_at_once_before_all_others(board: Walled):
    board.wall.pages.want(Page.NEW_BOTTLE)
    assert "Tarnwick Night Coat" not in board.choices()
    product = Product(name="our-night-coat", title="Tarnwick Night Coat")
    save_document(board.hand.store / "products" / "our-night-coat.toml", product)
    board.wall.pages.want(Page.NEW_BOTTLE)
    assert board.choices()[0] == "Tarnwick Night Coat"
