"""Cars that left stay findable: listed, opened to look at, and taken back."""

from pathlib import Path

from bayapp.job import CloseJob
from bayapp.job.model.ids import JobId
from bayapp.pages.wanted import Page, ShowPastCar
from bayapp.practice import practice_scenario
from bayapp.screen.cars.past_car import PastCarPage
from tests.pages.bays import ASH, CAR, hand_bay
from tests.screen.walls import Walled, walled


def page_of(wall: Walled) -> PastCarPage:
    (page,) = wall.wall.findChildren(PastCarPage)
    return page


def details(wall: Walled) -> list[str]:
    return [b.detail for b in wall.wall.pages.choices.buttons if b.isVisible()]


def test_a_car_that_left_by_mistake_is_found_and_taken_back_by_touch(board: Walled):
    before = board.hand.clock_of("windscreen")
    board.wall.pages.want(Page.CLOSE)
    board.hold_choice("Hold for 2 s: Practice estate has left")
    assert board.wall.strip.car.title == "No car"
    board.choose("Past cars")
    assert board.choices() == ["Practice estate"]
    board.choose("Practice estate")
    page = page_of(board)
    assert page.isVisible()
    board.press(page.comes_back)
    assert board.wall.strip.car.title == "Practice estate"
    assert board.wall.car.isVisible()
    after = board.hand.clock_of("windscreen")
    assert (after.opens_at, after.lapses_at) == (before.opens_at, before.lapses_at)
    board.wall.pages.want(Page.CARS)
    assert "Past cars" not in board.choices()


def test_a_past_car_is_shown_as_it_was_when_it_left_with_what_was_wet(board: Walled):
    assert board.hand.bay.request(CloseJob(CAR, ASH)).accepted
    board.wait(40 * 3600)
    board.wall.pages.want(ShowPastCar(CAR))
    page = page_of(board)
    assert page.subtitle == "Came Sun 1 Mar 11:30, left Mon 2 Mar, 09:00."
    said = " ".join(page.sentences)
    assert "Not finished" in said
    assert "A coat lies open on " in said
    board.press(page.close_button)
    assert not page.isVisible()


def test_past_cars_are_listed_by_day_the_last_first_and_the_earlier_ones_on_further_pages(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        written, _asked = practice_scenario(hand.bay.now())
        for number in range(10):
            job = written.model_copy(update={"id": JobId(f"car-{number}"), "title": f"Car {number}"})
            hand.bay.open_job(job)
            hand.wait(6 * 3600)
            assert hand.bay.request(CloseJob(job.id)).accepted
        wall.wall.pages.want(Page.PAST_CARS)
        assert wall.choices() == [f"Car {number}" for number in range(9, 1, -1)] + ["Earlier"]
        assert details(wall)[0].startswith("left today at 21:00; ")
        assert details(wall)[4].startswith("left Tue 3 Mar, 21:00; ")
        wall.choose("Earlier")
        assert wall.choices() == ["Car 1", "Car 0", "Back to the last"]
        wall.choose("Back to the last")
        assert wall.choices()[0] == "Car 9"


def test_the_record_of_a_car_that_left_is_written_from_its_page(board: Walled):
    assert board.hand.bay.request(CloseJob(CAR, ASH)).accepted
    board.wall.pages.want(ShowPastCar(CAR))
    board.press(page_of(board).record)
    assert "day record" in f"{board.wall.pages.choices.title} {board.sentences()}".lower()


def test_before_a_car_leaves_its_name_what_is_unfinished_and_what_is_wet_is_told(board: Walled):
    board.wall.pages.want(Page.CLOSE)
    assert board.wall.pages.choices.title == "Practice estate leaves the bay?"
    said = board.sentences()
    assert "Under way: " in said
    assert "Not finished" in said
    assert "A coat lies open on " in said
    before = board.events()
    board.choose("Day record")
    assert board.events() == before
