"""Marks by touch on the car: set, placed, dated, noted, taken back and lifted."""

from datetime import timedelta

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from bayapp.job.model.ids import THE_CAR, ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind
from bayapp.job.state.events import MarkLifted, MarkSet
from bayapp.pages.wanted import Page
from bayapp.screen.arrival.marks_controller import MarksController
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.glove_button import GloveButton
from tests.pages.bays import CAR
from tests.screen.walls import Walled

BONNET, ROOF = ZoneId("bonnet"), ZoneId("roof")


@pytest.fixture
def marks(board: Walled) -> MarksController:
    """The page of marks, by touches."""
    board.wall.pages.want(Page.ARRIVAL)
    board.choose("Marks")
    return board.openers.marks


def touch_zone(marks: MarksController, zone: ZoneId) -> None:
    centre = marks.page.car.zone_centre(zone).toPoint()
    QTest.mouseClick(marks.page.car, Qt.MouseButton.LeftButton, pos=centre)


def button(marks: MarksController, title: str) -> GloveButton:
    return next(b for b in marks.page.sets if b.isVisible() and b.title == title)


def marked(board: Walled, zone: ZoneId) -> tuple[Mark, ...]:
    return tuple(board.hand.bay.state.jobs[CAR].marks.get(zone, ()))


def lies_on(board: Walled, spot: tuple[float, float], zone: ZoneId) -> bool:
    drawing = board.wall.drawings.of(CAR, [board.hand.bay.state.jobs[CAR].job])
    assert drawing
    return drawing.zone_paths[zone].contains(QPointF(*spot))


def type_in(board: Walled, text: str) -> None:
    (page,) = board.wall.findChildren(TypingPage)
    for sign in text:
        board.press(next(key for key in page.keys if key.isVisible() and key.property("key") == sign))
    board.press(page.record_button)


def test_a_matt_bonnet_says_before_what_it_forbids_and_is_marked_by_three_touches(
    board: Walled, marks: MarksController
):
    touch_zone(marks, BONNET)
    board.press(button(marks, "Matt finish"))
    assert board.wall.pages.choices.title == "Bonnet: matt finish"
    assert board.wall.pages.choices.sentences[0] == "Bonnet: no polish."
    assert "without a source" in board.wall.pages.choices.subtitle
    assert marked(board, BONNET) == ()
    board.press(board.wall.pages.choices.buttons[0])
    assert marked(board, BONNET) == (Mark(kind=MarkKind.MATT),)
    assert marks.page.isVisible()
    board.press(marks.page.next)
    assert board.wall.pages.choices.title == "Arrival"


def test_several_zones_are_marked_by_one_touch_and_taken_back_by_one(board: Walled, marks: MarksController):
    for zone in (BONNET, ROOF):
        touch_zone(marks, zone)
    board.press(button(marks, "Film or wrap"))
    board.press(board.wall.pages.choices.buttons[0])
    assert marked(board, BONNET) == marked(board, ROOF) == (Mark(kind=MarkKind.FILM),)
    board.press(button(marks, "Undo"))
    assert marked(board, BONNET) == marked(board, ROOF) == ()
    last = list(board.hand.journal.read())[-2:]
    assert [type(event) for event in last] == [MarkLifted, MarkLifted]
    assert not [b for b in marks.page.sets if b.isVisible() and b.title == "Undo"]


def test_a_chip_is_placed_by_touching_the_zone(board: Walled, marks: MarksController):
    touch_zone(marks, BONNET)
    board.press(button(marks, "Damage"))
    board.choose("Chip")
    view = marks.place.zone
    board.press(marks.place.here)
    assert marked(board, BONNET) == (), "no place was touched yet"
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=view.rect().center())
    board.press(marks.place.here)
    (chip,) = marked(board, BONNET)
    assert (chip.kind, chip.what) == (MarkKind.DAMAGE, Damage.CHIP)
    assert chip.point
    assert lies_on(board, chip.point, BONNET)


def test_a_touch_beside_the_zone_means_the_nearest_place_on_it(board: Walled, marks: MarksController):
    touch_zone(marks, BONNET)
    board.press(button(marks, "Damage"))
    board.choose("Scratch")
    view = marks.place.zone
    QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=view.rect().topLeft())
    assert marks.place.spot
    assert lies_on(board, marks.place.spot, BONNET)


def test_a_damage_of_several_zones_or_without_a_place_is_marked_all_the_same(board: Walled, marks: MarksController):
    touch_zone(marks, ROOF)
    board.press(button(marks, "Damage"))
    board.choose("Dent")
    board.press(marks.place.without)
    assert marked(board, ROOF) == (Mark(kind=MarkKind.DAMAGE, what=Damage.DENT),)
    for zone in (BONNET, ROOF):
        touch_zone(marks, zone)
    board.press(button(marks, "Damage"))
    board.choose("Swirls")
    assert [mark.what for mark in marked(board, ROOF)] == [Damage.DENT, Damage.SWIRL]


def test_a_repaint_is_dated_by_a_touch_names_its_day_and_takes_a_note(board: Walled, marks: MarksController):
    touch_zone(marks, ROOF)
    board.press(button(marks, "Repainted"))
    board.choose("10 days ago")
    assert "no coat" in board.wall.pages.choices.sentences[0]
    board.choose("Mark it with a note")
    type_in(board, "BY A SHOP")
    (mark,) = marked(board, ROOF)
    assert mark.date == (board.hand.bay.now() - timedelta(days=10)).date()
    assert mark.note == "by a shop"


def test_a_day_that_is_typed_may_not_be_still_to_come(board: Walled, marks: MarksController):
    touch_zone(marks, ROOF)
    board.press(button(marks, "Repainted"))
    board.choose("Another day")
    type_in(board, "20991231")
    assert "still to come" in board.sentences()
    assert marked(board, ROOF) == ()


def test_a_mark_is_listed_and_lifted(board: Walled, marks: MarksController):
    touch_zone(marks, ROOF)
    board.press(button(marks, "Leave alone"))
    board.press(board.wall.pages.choices.buttons[0])
    board.press(button(marks, "Marks so far"))
    assert board.details() == ["leave alone"]
    board.choose("Roof")
    board.choose("Leave it")
    assert marked(board, ROOF)
    board.choose("Roof")
    board.choose("Lift it")
    assert marked(board, ROOF) == ()
    assert [type(event) for event in board.hand.journal.read()][-2:] == [MarkSet, MarkLifted]


def test_whole_sets_are_chosen_by_name(board: Walled, marks: MarksController):
    board.press(button(marks, "Whole sets"))
    board.choose("All glass")
    board.press(button(marks, "Leave alone"))
    board.press(board.wall.pages.choices.buttons[0])
    glass = board.hand.bay.state.jobs[CAR].job.vehicle.zones_of(["all-glass"])
    assert all(marked(board, zone) for zone in glass)


def test_a_kind_without_a_zone_says_what_to_touch_first(board: Walled, marks: MarksController):
    board.press(button(marks, "Matt finish"))
    assert board.sentences() == "Touch the zones it is about first."
    board.press(board.wall.pages.choices.close_button)
    assert marks.page.isVisible()


def test_the_car_as_a_whole_takes_no_mark_its_sets_are_offered_instead(board: Walled, marks: MarksController):
    touch_zone(marks, THE_CAR)
    assert board.wall.pages.choices.title == "Which sets?"
    board.choose("All glass")
    glass = set(board.hand.bay.state.jobs[CAR].job.vehicle.zones_of(["all-glass"]))
    board.press(button(marks, "Leave alone"))
    board.press(board.wall.pages.choices.buttons[0])
    assert set(board.hand.bay.state.jobs[CAR].marks) == glass
