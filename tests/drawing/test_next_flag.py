"""The NEXT flag finds a place for any zone: inside the picture, off its own zone, and out of the way."""

import pytest
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QGuiApplication

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.next_flag import WIDEST, flag_face, place_flag, pointed_at
from bayapp.job.model.ids import ZoneId
from tests.drawing.support.forms import boxes_of

FAMILY = "DejaVu Sans"
SIZE = QSizeF(380, 70)
LONG = QSizeF(WIDEST, 70)


@pytest.mark.parametrize("size", [SIZE, LONG], ids=["usual", "long"])
def test_for_every_zone_the_flag_is_inside_the_picture_and_off_its_own_zone(drawing: FormDrawing, size: QSizeF) -> None:
    for zone, path in drawing.zone_paths.items():
        flag = place_flag(drawing, zone, size, active=[zone])
        assert flag.size() == size, zone
        assert drawing.view_box.contains(flag), zone
        assert not path.intersects(flag), zone


def test_with_every_zone_active_the_flag_still_finds_a_place(drawing: FormDrawing) -> None:
    everything = list(drawing.zone_paths)
    for zone, path in drawing.zone_paths.items():
        flag = place_flag(drawing, zone, SIZE, active=everything)
        assert drawing.view_box.contains(flag), zone
        assert not path.intersects(flag), zone


def test_the_flag_covers_no_active_zone_where_a_free_place_is_near(drawing: FormDrawing) -> None:
    glass = drawing.form.zones_of(["side-glass-left", "windscreen"])
    for zone in ("roof", "door-left-front", "rim-front-left", "tailgate", "cabin"):
        flag = place_flag(drawing, ZoneId(zone), SIZE, active=glass)
        covered = [other for other in glass if drawing.zone_paths[other].intersects(flag)]
        assert covered == [], zone


def test_the_flag_keeps_off_plates(drawing: FormDrawing) -> None:
    zone = ZoneId("roof")
    free = place_flag(drawing, zone, SIZE, active=[])
    plate = QRectF(free.center() - QPointF(30, 20), QSizeF(60, 40))
    assert not place_flag(drawing, zone, SIZE, active=[], plates=[plate]).intersects(plate)


def test_the_flag_hides_no_name_where_it_can_stand_beside_it(drawing: FormDrawing) -> None:
    zone = ZoneId("bonnet")
    free = place_flag(drawing, zone, SIZE, active=[])
    name = QRectF(free.center() - QPointF(40, 15), QSizeF(80, 30))
    assert not place_flag(drawing, zone, SIZE, active=[], names=[name]).intersects(name)


def test_the_flag_points_at_its_own_zone(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        flag = place_flag(drawing, zone, SIZE, active=[])
        tip = pointed_at(drawing, zone, flag)
        assert path.intersects(QRectF(tip - QPointF(2, 2), QSizeF(4, 4))), zone
        assert not flag.contains(tip), zone


def test_the_beak_goes_round_an_active_zone_where_it_can() -> None:
    boxes = boxes_of(600, 400, own=(0, 0, 600, 60), bar=(0, 90, 420, 110))
    own, bar = ZoneId("own"), ZoneId("bar")
    free, busy = (place_flag(boxes, own, QSizeF(250, 60), active) for active in ([], [bar]))
    assert pointed_at(boxes, own, free).x() < 420
    assert pointed_at(boxes, own, busy).x() > 420


def test_the_flag_stands_near_its_zone(drawing: FormDrawing) -> None:
    for zone in drawing.zone_paths:
        flag = place_flag(drawing, zone, SIZE, active=[])
        tip = pointed_at(drawing, zone, flag)
        gap = max(flag.left() - tip.x(), tip.x() - flag.right(), flag.top() - tip.y(), tip.y() - flag.bottom())
        assert gap <= 130, zone


def test_longer_words_make_a_wider_flag(qapp: QGuiApplication) -> None:
    short, long = (flag_face("NEXT", label, FAMILY).size for label in ("", "level this rim"))
    assert long.width() > short.width() + 100
    assert long.height() == short.height()


def test_words_too_long_shrink_and_then_leave_the_title_alone(qapp: QGuiApplication) -> None:
    labels = ("level this rim", "level this rim, then its other half", "level this rim " * 9)
    faces = [flag_face("NEXT", label, FAMILY) for label in labels]
    assert all(face.size.width() <= WIDEST for face in faces)
    assert faces[0].title_font > faces[1].title_font
    assert faces[1].label
    assert not faces[2].label
