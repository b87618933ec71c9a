"""A car arrives, by touches: plate, key hook, mileage, wishes."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.job import GiveIdentity
from bayapp.job.model.identity import Identity, Mileage
from bayapp.job.state.events import IdentityGiven
from bayapp.pages.input.typed_entry import SHIFT
from bayapp.pages.wanted import Page
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import CAR, hand_bay
from tests.screen.walls import Walled, walled


@pytest.fixture
def arrival(board: Walled) -> Walled:
    """The Arrival page of the car in view, by touches."""
    board.press(board.wall.next_bar.more)
    board.choose("Arrival")
    return board


def known(wall: Walled) -> Identity:
    return wall.hand.bay.state.jobs[CAR].identity


def detail(wall: Walled, title: str) -> str:
    return next(b.detail for b in wall.wall.pages.choices.buttons if b.isVisible() and b.title == title)


def keypad(wall: Walled) -> TypingPage:
    (page,) = wall.wall.findChildren(TypingPage)
    return page


def type_in(wall: Walled, text: str) -> None:
    page = keypad(wall)

    def keys(sign: str) -> list[GloveButton]:
        return [key for key in page.keys if key.isVisible() and key.property("key") == sign]

    for sign in text:
        if not keys(sign):
            wall.press(keys(SHIFT)[0])
        wall.press(keys(sign)[0])
    wall.press(page.record_button)


def test_a_plate_typed_with_a_glove_stands_on_the_page_in_the_journal_and_in_the_cars_name(arrival: Walled):
    arrival.choose("Plate")
    type_in(arrival, "BY 7-XA")
    assert arrival.wall.pages.choices.title == "Arrival"
    assert detail(arrival, "Plate") == "BY 7-XA"
    given = list(arrival.hand.journal.read())[-1]
    assert isinstance(given, IdentityGiven)
    assert (given.identity.plate, given.by) == ("BY 7-XA", arrival.wall.selection.by)
    assert "BY 7-XA" in arrival.wall.pages.choices.subtitle
    arrival.choose("To the car")
    assert arrival.wall.car.isVisible()


def test_a_plate_is_put_right_and_taken_away_and_all_three_stay_in_the_journal(arrival: Walled):
    for text in ("BY 7", "BY 8"):
        arrival.choose("Plate")
        type_in(arrival, text)
    assert known(arrival).plate == "BY 8"
    arrival.choose("Plate")
    for _sign in "BY 8":
        arrival.press(keypad(arrival).erase)
    arrival.press(keypad(arrival).record_button)
    assert detail(arrival, "Plate") == "tells two cars of one colour apart"
    plates = [event.identity.plate for event in arrival.hand.journal.read() if isinstance(event, IdentityGiven)]
    assert plates == ["BY 7", "BY 8", ""]


def test_a_plate_recorded_as_it_was_is_no_entry_more(arrival: Walled):
    arrival.choose("Plate")
    type_in(arrival, "BY 7")
    before = arrival.events()
    arrival.choose("Plate")
    arrival.press(keypad(arrival).record_button)
    assert arrival.wall.pages.choices.title == "Arrival"
    assert arrival.events() == before


def test_the_way_back_from_the_keypad_leads_to_the_page_and_from_there_to_more(arrival: Walled):
    arrival.choose("Key hook")
    arrival.press(keypad(arrival).close_button)
    assert arrival.wall.pages.choices.title == "Arrival"
    arrival.press(arrival.wall.pages.choices.close_button)
    assert arrival.wall.pages.choices.title == "More"


def test_a_mileage_is_typed_in_the_unit_of_the_car_and_taken_away(arrival: Walled):
    arrival.choose("Mileage")
    arrival.choose("In miles")
    type_in(arrival, "88001")
    assert known(arrival).mileage == Mileage(figure=88_001, unit="mi")
    assert detail(arrival, "Mileage") == "88,001 miles"
    arrival.choose("Mileage")
    arrival.choose("Take it away")
    assert known(arrival).mileage is None


def test_wishes_are_touched_in_and_out_and_written_in_own_words(arrival: Walled):
    arrival.choose("Wishes")
    arrival.choose("Gloss before all")
    arrival.choose("Touch up stone chips")
    arrival.choose("Gloss before all")
    arrival.choose("In own words")
    type_in(arrival, "MIND THE AERIAL")
    assert known(arrival).wishes == ("touch up stone chips", "mind the aerial")
    arrival.press(arrival.wall.pages.choices.close_button)
    assert detail(arrival, "Wishes") == "touch up stone chips, and 1 more"


def test_one_wish_too_many_is_said_and_nothing_is_lost(arrival: Walled):
    full = tuple(f"wish {n}" for n in range(20))
    assert arrival.hand.bay.request(GiveIdentity(CAR, Identity(wishes=full))).accepted
    arrival.wall.pages.want(Page.ARRIVAL)
    arrival.choose("Wishes")
    arrival.choose("In own words")
    type_in(arrival, "ONE MORE")
    assert "At most 20 wishes" in arrival.wall.pages.choices.sentences[0]
    assert known(arrival).wishes == full


@pytest.fixture
def asked(tmp_path: Path) -> Iterator[Walled]:
    """A wall that asks once a day who stands at the car."""
    with hand_bay(tmp_path, cars=1) as hand, walled(hand, asks_who=True) as wall:
        wall.answer_all()
        yield wall


def test_where_the_wall_asks_first_who_stands_there_the_plate_is_kept_and_the_page_comes_back(asked: Walled):
    asked.wall.pages.want(Page.ARRIVAL)
    asked.choose("Plate")
    type_in(asked, "BY 7")
    assert asked.wall.pages.choices.title == "Who stands at the car?"
    asked.choose("Bo")
    assert asked.wall.pages.choices.title == "Arrival"
    assert known(asked).plate == "BY 7"
