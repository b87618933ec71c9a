"""What a glove meant: the zone under it where that is plain, else the choice among those within 15 mm."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from bayapp.job.model.ids import THE_CAR, ZoneId
from bayapp.pages.wanted import NoteAbout
from bayapp.screen.board.car_view import meant
from bayapp.screen.input.typed_entry import TypingPage
from tests.pages.bays import CAR
from tests.screen.walls import Walled

ONE_MM = 3.0
SMALL = {ZoneId("caliper"), ZoneId("rim"), ZoneId("lamp")}


def meant_of(*hits: tuple[str, float]) -> list[str]:
    return [*meant([(ZoneId(z), d) for z, d in hits], ONE_MM, lambda z: z in SMALL)]


def test_nothing_within_reach_is_nothing():
    assert meant_of() == []


def test_well_inside_a_large_zone_it_is_that_zone():
    assert meant_of(("bonnet", 0.0), ("roof", 20.0)) == ["bonnet"]


def test_a_large_zone_close_to_a_small_one_is_a_question():
    assert meant_of(("wing", 0.0), ("lamp", 3.0)) == ["wing", "lamp"]
    assert meant_of(("wing", 0.0), ("lamp", 30.0)) == ["wing"]


def test_a_small_zone_alone_answers_a_near_miss():
    assert meant_of(("lamp", 20.0)) == ["lamp"]


def test_small_zones_side_by_side_are_a_question_the_nearest_first_and_further_off_they_are_not():
    assert meant_of(("caliper", 0.0), ("rim", 4.0)) == ["caliper", "rim"]
    assert meant_of(("caliper", 0.0), ("rim", 13.0)) == ["caliper"]


def test_a_near_miss_means_the_nearest_and_those_about_as_near():
    assert meant_of(("caliper", 6.0), ("rim", 10.0), ("lamp", 30.0)) == ["caliper", "rim"]
    assert meant_of(("caliper", 6.0), ("rim", 30.0)) == ["caliper"]


def test_no_more_than_six_are_offered():
    hits = [(f"lamp-{n}", float(n)) for n in range(9)]
    assert len(meant([(ZoneId(z), d) for z, d in hits], ONE_MM, lambda z: True)) == 6


def test_a_touch_anywhere_on_the_tile_of_the_car_itself_means_it_alone(board: Walled):
    view = board.wall.car
    heard: list[list[ZoneId]] = []
    view.touched.connect(heard.append)
    box = view.zone_box(THE_CAR).adjusted(4, 4, -4, -4)
    for corner in (box.topLeft(), box.topRight(), box.bottomLeft(), box.bottomRight(), box.center()):
        QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=corner.toPoint())
    assert heard == [[THE_CAR]] * 5


@pytest.mark.parametrize(("millimetres", "found"), [(1, [ZoneId("tips")]), (14, [ZoneId("tips")]), (16, None)])
def test_a_near_miss_beside_the_car_still_finds_a_zone_within_15_mm(
    board: Walled, millimetres: float, found: list[ZoneId] | None
):
    """Beside the tips, the small zones that stick out of the car, there is nothing else to find."""
    view, tips = board.wall.car, ZoneId("tips")
    heard: list[list[ZoneId]] = []
    view.touched.connect(heard.append)
    beside = QPointF(view.zone_box(tips).right() + board.look.mm(millimetres), view.zone_centre(tips).y())
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=beside.toPoint())
    assert heard == ([] if found is None else [found])


def test_a_zone_that_is_not_worked_says_so_and_takes_a_note_in_own_words(board: Walled):
    assert ZoneId("trim-left") not in board.hand.bay.state.jobs[CAR].zones
    before = board.events()
    board.wall.car.touched.emit([ZoneId("trim-left")])
    assert board.choices() == ["Add it to the work", "Note", "Change this job"]
    assert board.wall.pages.choices.subtitle == "It is not worked in this job."
    board.choose("Note")
    board.choose("In own words")
    (typing,) = board.wall.findChildren(TypingPage)
    for key in ("C", "R", "A", "C", "K", "space", "X"):
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    board.press(typing.record_button)
    assert board.events() == before + 1
    note = board.hand.bay.state.jobs[CAR].notes[-1]
    assert (note.zone, note.text, note.by) == ("trim-left", "crack x", board.wall.selection.by)
    assert board.wall.pages.choices.sentences == ("09:00: Crack x",), "one sees that it was taken"
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.car.isVisible()


def test_a_note_needs_a_letter_and_signs_are_there_too(board: Walled):
    before = board.events()
    board.wall.pages.want(NoteAbout(CAR))
    board.choose("In own words")
    (typing,) = board.wall.findChildren(TypingPage)
    board.press(typing.record_button)
    assert board.events() == before
    board.press(next(b for b in typing.keys if b.isVisible() and b.title == "1 2 3"))
    for key in "2%":
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    board.press(typing.record_button)
    assert board.hand.bay.state.jobs[CAR].notes[-1].text == "2%"
