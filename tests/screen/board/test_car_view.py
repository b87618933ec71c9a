"""What a glove meant: the zone under it where that is plain, else the choice among those within 15 mm."""

from bayapp.job.model.ids import ZoneId
from bayapp.screen.board.car_view import meant
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


def test_small_zones_side_by_side_are_a_question_the_nearest_first():
    assert meant_of(("caliper", 0.0), ("rim", 4.0)) == ["caliper", "rim"]


def test_no_more_than_six_are_offered():
    hits = [(f"lamp-{n}", float(n)) for n in range(9)]
    assert len(meant([(ZoneId(z), d) for z, d in hits], ONE_MM, lambda z: True)) == 6


def test_a_near_miss_beside_the_car_still_finds_a_zone_within_15_mm(board: Walled):
    """Walk away from the tips, the small zones that stick out of the car: reach ends between 14 and 16 mm."""
    view = board.wall.car
    painter, target = view._painter, view._target()
    assert painter
    edge = painter.zone_rect_on(target, ZoneId("tips"))
    for millimetres, found in ((14.0, True), (17.0, False)):
        point = edge.center()
        point.setX(edge.right() + millimetres * board.look.mm(1))
        hits = painter.map_to_zone(target, point, board.look.mm(15))
        assert ("tips" in [z for z, _ in hits]) is found or edge.height() > edge.width() * 3


def test_a_touch_on_a_zone_that_is_not_worked_opens_nothing(board: Walled):
    assert ZoneId("trim-left") not in board.hand.bay.state.jobs[CAR].zones
    before = board.events()
    board.wall.car.touched.emit([ZoneId("trim-left")])
    assert board.wall.car.isVisible()
    assert board.events() == before
