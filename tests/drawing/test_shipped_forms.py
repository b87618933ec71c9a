"""Every shipped vehicle form: zones drawn, apart from each other, inside the picture, big enough, gathered in sets."""

import re
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import THE_CAR, ZoneId
from bayapp.job.model.vehicle import VehicleForm
from bayapp.paths import resource
from tests.drawing.support.shipped import NAMES, drawing_named, form_named

SETS = ["all-glass", "rims", "tyres", "wheels", "calipers", "upper-paint", "lower-paint", "paint", "trim", "lamps"]
"""What shipped jobs and recipes name, beside ``exterior``."""

ONE_SURFACE = {"all-glass": "glass", "rims": "rim", "tyres": "tyre", "calipers": "caliper", "lamps": "lamp"}

NARROWEST = 18.0
"""Units of the drawing: 3.4 mm at 1920x1080 on 24 inches, where the drawing is 306 mm wide; a glove within 15 mm of it
finds it, and a picker asks where several lie near."""

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def form(name: str) -> VehicleForm:
    return form_named(name)


@pytest.fixture
def drawing(name: str) -> FormDrawing:
    return drawing_named(name)


def paths_of(form: VehicleForm, group: str) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(resource("vehicles", form.drawing).read_text(encoding="utf-8"))
    return [path for node in root.iter(f"{SVG}g") if node.get("id") == group for path in node.iter(f"{SVG}path")]


def mask(drawing: FormDrawing, zone: ZoneId) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Every unit square of the drawing whose middle lies inside the zone."""
    size = drawing.view_box.size().toSize()
    image = QImage(size, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.black)
    painter = QPainter(image)
    painter.translate(-drawing.view_box.topLeft())
    painter.fillPath(drawing.zone_paths[zone], QColor("white"))
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(size.height(), image.bytesPerLine())
    return rows[:, : size.width()] > 0


def test_the_file_is_called_what_the_form_is_called(name: str, form: VehicleForm) -> None:
    assert (form.name, form.drawing) == (name, f"{name}.svg")


def test_no_two_zones_overlap_by_more_than_half_a_percent(drawing: FormDrawing) -> None:
    masks = {zone: mask(drawing, zone) for zone in drawing.zone_paths}
    boxes = {zone: path.boundingRect() for zone, path in drawing.zone_paths.items()}
    for one, other in combinations(masks, 2):
        if boxes[one].intersects(boxes[other]):
            shared = np.count_nonzero(masks[one] & masks[other])
            smaller = min(np.count_nonzero(masks[one]), np.count_nonzero(masks[other]))
            assert shared / smaller <= 0.005, (one, other)


def test_every_zone_and_the_chassis_lie_inside_the_picture(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        assert drawing.view_box.contains(path.boundingRect()), zone
    assert drawing.view_box.contains(drawing.chassis.boundingRect())


def test_the_drawing_is_as_wide_for_its_height_as_all_others(drawing: FormDrawing) -> None:
    assert drawing.view_box == QRectF(0, 0, 1600, 1000)


def test_the_drawing_and_the_form_name_the_same_zones(form: VehicleForm) -> None:
    assert sorted(str(path.get("id")) for path in paths_of(form, "zones")) == sorted(zone.id for zone in form.zone)


def test_paths_are_closed_and_use_only_absolute_lines_and_curves(form: VehicleForm) -> None:
    for path in paths_of(form, "zones") + paths_of(form, "chassis"):
        assert not re.search(r"[^MLCZ\d\s.,-]", path.get("d", "")), path.get("id")
        assert path.get("d", "").rstrip().endswith("Z"), path.get("id")


def test_every_zone_is_big_enough_to_be_seen_and_aimed_at(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        box = path.boundingRect()
        assert min(box.width(), box.height()) >= NARROWEST, zone


def test_the_stored_anchors_are_those_that_the_search_finds(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        stored, found = drawing.anchor(zone), drawing.computed_anchor(zone)
        assert (stored.x, stored.y, stored.radius) == pytest.approx((found.x, found.y, found.radius), abs=0.1), zone
        assert path.contains(QPointF(stored.x, stored.y)), zone


def test_a_touch_on_a_badge_finds_its_zone_first(drawing: FormDrawing) -> None:
    for zone in drawing.zone_paths:
        anchor = drawing.anchor(zone)
        assert drawing.zones_near(QPointF(anchor.x, anchor.y), 50)[0] == (zone, 0.0)


@pytest.mark.parametrize("set_name", SETS)
def test_a_set_that_jobs_rely_on_is_there_where_the_vehicle_has_such_a_surface(
    form: VehicleForm, set_name: str
) -> None:
    needed = set_name not in ONE_SURFACE or any(zone.surface == ONE_SURFACE[set_name] for zone in form.zone)
    assert (set_name in form.sets) == needed


def test_only_a_motorcycle_has_no_glass_and_its_screen_is_no_glass_to_a_recipe() -> None:
    """A screen is clear plastic, which glass polish scratches and solvent crazes: common practice, no source."""
    bare = [name for name in NAMES if "all-glass" not in form_named(name).sets]
    assert bare == ["motorcycle"]
    assert form_named("motorcycle").zone_named(ZoneId("screen")).surface == "screen"


def test_every_set_has_a_title(form: VehicleForm) -> None:
    assert form.sets.keys() == form.set_titles.keys()


def test_the_exterior_is_everything_but_the_cabin_and_the_car_itself(form: VehicleForm) -> None:
    outside = {zone.id for zone in form.zone if zone.surface not in ("cabin", "car")}
    assert set(form.zones_of(["exterior"])) == outside


def test_a_set_of_one_surface_holds_all_of_it(form: VehicleForm) -> None:
    for set_name, surface in ONE_SURFACE.items():
        members = set(form.zones_of([set_name])) if set_name in form.sets else set()
        assert members == {zone.id for zone in form.zone if zone.surface == surface}, set_name


def test_all_paint_is_upper_or_lower_paint_and_none_is_both(form: VehicleForm) -> None:
    upper, lower = set(form.zones_of(["upper-paint"])), set(form.zones_of(["lower-paint"]))
    assert not upper & lower
    assert upper | lower == set(form.zones_of(["paint"])) == {z.id for z in form.zone if z.surface == "paint"}


def test_every_form_has_the_car_itself_as_a_zone_that_is_in_no_set(form: VehicleForm) -> None:
    assert form.zone_named(THE_CAR).surface == "car"
    assert THE_CAR not in form.zones_of(form.sets)


def test_neighbours_are_mutual_and_every_zone_but_the_car_itself_has_one(form: VehicleForm) -> None:
    for zone in form.zone:
        assert bool(zone.neighbours) is (zone.id != THE_CAR), zone.id
        for other in zone.neighbours:
            assert zone.id in form.zone_named(ZoneId(other)).neighbours, (zone.id, other)


def test_names_are_lower_case_and_stand_for_one_zone_each(form: VehicleForm) -> None:
    names = [zone.name for zone in form.zone]
    assert len(set(names)) == len(names)
    assert all(zone.name == zone.name.lower() and zone.short for zone in form.zone)


def test_a_zone_id_means_the_same_surface_as_on_the_estate(form: VehicleForm, estate: VehicleForm) -> None:
    known = {zone.id: zone.surface for zone in estate.zone if not zone.id.startswith("sill")}
    for zone in form.zone:
        assert known.get(zone.id, zone.surface) == zone.surface, zone.id


def test_what_is_on_both_sides_is_mirrored(drawing: FormDrawing) -> None:
    middle = drawing.view_box.center().y()
    for zone, path in drawing.zone_paths.items():
        twin = drawing.zone_paths.get(ZoneId(zone.replace("left", "right")))
        if "left" in zone and twin:
            left, right = path.boundingRect(), twin.boundingRect()
            assert left.center().x() == pytest.approx(right.center().x(), abs=0.5), zone
            assert left.center().y() - middle == pytest.approx(middle - right.center().y(), abs=0.5), zone


def test_wheels_are_round(form: VehicleForm, drawing: FormDrawing) -> None:
    for zone in form.zones_of(["tyres"]):
        box = drawing.zone_paths[zone].boundingRect()
        assert box.width() == pytest.approx(box.height(), abs=0.5), zone
