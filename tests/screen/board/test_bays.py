"""Several cars on one wall: a button each in the strip, all of them on one page, everything still for gloves."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.pages.wanted import Page
from bayapp.screen.board.bays import BaysPage
from tests.pages.bays import hand_bay
from tests.screen.languages import PSEUDO, speaking
from tests.screen.test_glove_audit import SCREENS, failings, overlaps
from tests.screen.test_lettering_audit import Ink, inks, painted, wrong  # noqa: F401 (a fixture)
from tests.screen.walls import Walled, walled


@pytest.fixture
def three(tmp_path: Path) -> Iterator[Walled]:
    with hand_bay(tmp_path, cars=3) as hand, walled(hand) as wall:
        wall.answer_all()
        yield wall


def page(wall: Walled) -> BaysPage:
    (found,) = wall.wall.findChildren(BaysPage)
    return found


def test_each_car_has_a_button_in_the_strip_and_a_touch_swaps_the_board(three: Walled):
    strip, jobs = three.wall.strip, [s.job.id for s in three.hand.bay.state.open_jobs]
    assert not strip.car.isVisible()
    assert [b.isVisible() for b in strip.bays] == [True] * 3
    three.press(strip.bays[1])
    assert three.wall.selection.job == jobs[1]
    assert three.wall.car.isVisible()


def test_touching_the_car_that_is_shown_opens_all_cars_and_one_leads_back(three: Walled):
    jobs = [s.job.id for s in three.hand.bay.state.open_jobs]
    three.press(three.wall.strip.bays[0])
    assert page(three).isVisible()
    assert three.wall.column.buttons[0].isVisible()
    three.press(page(three).cards[2])
    assert three.wall.selection.job == jobs[2]
    assert three.wall.car.isVisible()


def test_with_one_car_left_its_name_stands_in_the_strip_again(tmp_path: Path):
    with hand_bay(tmp_path, cars=1) as hand, walled(hand) as wall:
        assert wall.wall.strip.car.isVisible()
        assert [b for b in wall.wall.strip.bays if b.isVisible()] == []


@pytest.mark.parametrize("cars", [2, 4, 6])
@pytest.mark.parametrize("screen", SCREENS)
def test_all_cars_are_made_for_gloves_and_can_be_read(
    tmp_path: Path,
    screen: str,
    cars: int,
    inks: list[Ink],  # noqa: F811 (the fixture)
):
    size, inch = SCREENS[screen]
    with hand_bay(tmp_path, cars=cars) as hand, walled(hand, size, inch=inch) as wall:
        wall.answer_all()
        assert failings(wall) + overlaps(wall.wall) == []
        assert wrong(painted(wall, inks)) == set()
        wall.wall.pages.want(Page.BAYS)
        assert failings(wall) + overlaps(wall.wall) == []
        assert wrong(painted(wall, inks)) == set()


@pytest.mark.parametrize("tag", PSEUDO)
def test_longer_and_mirrored_words_fit_on_all_cars_too(tmp_path: Path, tag: str, catalogues: Path, inks: list[Ink]):  # noqa: F811
    with speaking(tag, catalogues), hand_bay(tmp_path, cars=6) as hand, walled(hand) as wall:
        wall.answer_all()
        wall.wall.pages.want(Page.BAYS)
        assert failings(wall) + overlaps(wall.wall) == []
        assert wrong(painted(wall, inks)) == set()
