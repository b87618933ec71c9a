"""Plates: the time only where it fits, a badge on every running clock, and nothing outside the picture."""

from itertools import combinations

import pytest
from PySide6.QtCore import QRectF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import ZoneLook
from bayapp.drawing.palette import DARK
from bayapp.drawing.plates import Layout, paint_plate, plate_for
from bayapp.job.model.ids import Motion, Stage, Urgency, ZoneId
from tests.drawing.support.forms import boxes_of
from tests.drawing.support.pictures import is_colour, painted

FAMILY = "DejaVu Sans"
TWO = (Motion.VERTICAL, Motion.HORIZONTAL)
RUNNING = [Urgency.WORKING, Urgency.WAITING, Urgency.OPEN, Urgency.CLOSING, Urgency.LAPSED]

pytestmark = pytest.mark.usefixtures("qapp")


def timed(urgency: Urgency = Urgency.WAITING, time: str = "3:12") -> ZoneLook:
    return ZoneLook(stage=Stage.COATED, layers=TWO, urgency=urgency, time_text=time, show_time=True)


def test_every_running_clock_has_a_plate_inside_the_picture(drawing: FormDrawing) -> None:
    for zone in drawing.zone_paths:
        for urgency in RUNNING:
            plate = plate_for(drawing, zone, timed(urgency), FAMILY)
            assert plate is not None
            assert drawing.view_box.contains(plate.rect), zone


def test_a_badge_on_a_zone_in_the_corner_is_moved_into_the_picture() -> None:
    small = boxes_of(200, 100, corner=(0, 0, 10, 10))
    for look in (timed(), ZoneLook(urgency=Urgency.OPEN)):
        plate = plate_for(small, ZoneId("corner"), look, FAMILY)
        assert plate is not None
        assert small.view_box.contains(plate.rect)


def test_a_plate_with_a_time_lies_wholly_inside_its_zone(drawing: FormDrawing) -> None:
    found = []
    for zone, path in drawing.zone_paths.items():
        plate = plate_for(drawing, zone, timed(), FAMILY)
        if plate is not None and plate.measures.font:
            found.append(zone)
            assert path.contains(plate.rect), zone
    assert {"windscreen", "roof", "bonnet", "glass-left-rear", "glass-right-rear", "door-left-front"} <= set(found)


def test_a_zone_too_small_for_the_time_keeps_its_badge(drawing: FormDrawing) -> None:
    for zone in ("mirror-left", "sill-right", "caliper-front-left", "tyre-rear-right"):
        plate = plate_for(drawing, ZoneId(zone), timed(), FAMILY)
        assert plate is not None
        assert plate.measures.layout is Layout.PAIR


def test_a_quiet_zone_has_no_plate_and_a_finished_one_only_where_there_is_room(drawing: FormDrawing) -> None:
    assert plate_for(drawing, ZoneId("roof"), ZoneLook(), FAMILY) is None
    finished = ZoneLook(stage=Stage.FINISHED, urgency=Urgency.FINISHED, show_time=True, time_text="1:00")
    roof = plate_for(drawing, ZoneId("roof"), finished, FAMILY)
    assert roof is not None
    assert roof.measures.layout is Layout.DISC
    assert plate_for(drawing, ZoneId("sill-left"), finished, FAMILY) is None


def test_the_time_is_left_out_when_it_is_not_asked_for(drawing: FormDrawing) -> None:
    look = ZoneLook(stage=Stage.COATED, layers=TWO, urgency=Urgency.WAITING, time_text="3:12")
    plate = plate_for(drawing, ZoneId("roof"), look, FAMILY)
    assert plate is not None
    assert plate.measures.layout is Layout.PAIR


def test_longer_times_get_smaller_figures_or_none_but_never_leave_the_zone(drawing: FormDrawing) -> None:
    zone = ZoneId("glass-left-rear")
    sizes = []
    for time in ("3:12", "13:12", "1 h 05", "2026-11-26 09:00"):
        plate = plate_for(drawing, zone, timed(time=time), FAMILY)
        assert plate is not None
        assert drawing.zone_paths[zone].contains(plate.rect)
        sizes.append(plate.measures.font)
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0
    assert sizes[-1] == 0


def test_plates_of_one_wheel_do_not_cover_each_other(drawing: FormDrawing) -> None:
    for wheel in ("front-left", "front-right", "rear-left", "rear-right"):
        rects: dict[str, QRectF] = {}
        for part in ("rim", "caliper", "tyre"):
            plate = plate_for(drawing, ZoneId(f"{part}-{wheel}"), timed(), FAMILY)
            assert plate is not None
            rects[part] = plate.rect
        for one, other in combinations(rects, 2):
            shared = rects[one].intersected(rects[other])
            smaller = min(r.width() * r.height() for r in (rects[one], rects[other]))
            assert shared.width() * shared.height() <= 0.12 * smaller, (wheel, one, other)


def test_the_count_of_layers_is_on_the_plate_of_a_rim(drawing: FormDrawing) -> None:
    zone = ZoneId("rim-front-left")

    def bright(layers: int) -> int:
        look = ZoneLook(stage=Stage.COATED, layers=(Motion.HORIZONTAL,) * layers, planned=3, urgency=Urgency.CLOSING)
        plate = plate_for(drawing, zone, look, FAMILY)
        assert plate is not None
        picture = painted(1600, 1000, lambda painter: paint_plate(painter, plate, look, DARK, FAMILY))
        return int(is_colour(picture, DARK.text, 10).sum())

    assert bright(1) > 60
    assert bright(2) == pytest.approx(2 * bright(1), rel=0.15)
    assert bright(3) == pytest.approx(3 * bright(1), rel=0.15)


def test_around_the_badge_of_a_rim_most_of_its_texture_is_seen(drawing: FormDrawing) -> None:
    """How far a rim has got is told by its texture alone; a badge as large as the ring left a guess."""
    rims = [z.id for z in drawing.form.zone if z.surface == "rim"]
    look = ZoneLook(stage=Stage.COATED, layers=(Motion.VERTICAL,), planned=1, urgency=Urgency.OPEN)
    for rim in rims:
        plate = plate_for(drawing, ZoneId(rim), look, FAMILY)
        assert plate is not None
        assert plate.measures.layout is Layout.DISC
        radius = drawing.anchor(ZoneId(rim)).radius
        assert (plate.rect.width() / 2) ** 2 <= 0.4 * radius**2
