"""Who stands at the car is asked once a day, by the first touch that is recorded under a name."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.job import FinishStep
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.events import StepFinished, StepStarted
from tests.pages.bays import BO, CAR, hand_bay
from tests.screen.walls import Walled, walled

QUESTION = "Who stands at the car?"


@pytest.fixture
def morning(tmp_path: Path) -> Iterator[Walled]:
    """The practice car with its crew of two, on a wall on which nobody has said who stands there."""
    with hand_bay(tmp_path) as hand, walled(hand, asks_who=True) as wall:
        wall.answer_all()
        yield wall


def begun_by(wall: Walled) -> list[Person | None]:
    return [e.by for e in wall.hand.journal.read() if isinstance(e, StepStarted)]


def asked(wall: Walled) -> bool:
    return wall.wall.pages.choices.isVisible() and wall.wall.pages.choices.title == QUESTION


def test_the_first_touch_of_the_day_asks_and_goes_on_in_the_name_that_is_touched(morning: Walled):
    free = FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)
    assert morning.hand.bay.request(free).accepted
    morning.wait(1)
    before = len(begun_by(morning))
    offer = morning.wall.next_bar.offer_of(morning.wall.next_bar.main)
    assert offer
    morning.press(morning.wall.next_bar.main)
    assert asked(morning)
    assert len(begun_by(morning)) == before, "nothing is signed before somebody has said"
    morning.choose("Bo")
    assert begun_by(morning)[before:] == [Person("Bo")] * len(offer.zones)
    assert morning.wall.selection.by == Person("Bo")
    assert morning.wall.car.isVisible()


def test_a_name_that_may_not_do_it_now_is_told_why(morning: Walled):
    """Bo is still at a rim: the step is refused in words, and Bo stands at the car."""
    morning.press(morning.wall.next_bar.main)
    morning.choose("Bo")
    assert "Bo is still at" in " ".join(morning.wall.pages.choices.sentences)
    assert morning.wall.selection.by == BO


def test_it_is_asked_once_and_again_on_the_next_day(morning: Walled):
    morning.press(morning.wall.next_bar.main)
    morning.choose("Ash")
    morning.press(morning.wall.next_bar.main)
    assert not asked(morning)
    assert any(isinstance(e, StepFinished) for e in morning.hand.journal.read()[-3:])
    morning.wait(24 * 3600)
    morning.answer_all()
    morning.touch("bonnet")
    morning.press(morning.wall.ladder_bar.main)
    assert asked(morning)


def test_whoever_touches_a_name_first_is_not_asked(morning: Walled):
    names = morning.wall.strip.people
    morning.press(next(button for button in names if button.isVisible() and button.title == "Bo"))
    before = len(begun_by(morning))
    morning.press(morning.wall.next_bar.main)
    assert not asked(morning)
    assert set(begun_by(morning)[before:]) <= {Person("Bo")}


def test_who_goes_back_from_the_question_has_recorded_nothing(morning: Walled):
    before = len(begun_by(morning))
    morning.press(morning.wall.next_bar.main)
    morning.press(morning.wall.pages.choices.close_button)
    assert morning.wall.car.isVisible()
    assert len(begun_by(morning)) == before
    morning.press(morning.wall.next_bar.main)
    assert asked(morning), "it is asked until somebody answers"
