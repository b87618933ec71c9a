"""The shipped estate: its zones are drawn, apart from each other, inside the picture, and gathered in sets."""

from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.vehicle import VehicleForm
from bayapp.job.words import ZoneId
from bayapp.paths import resource

SIDES = ("left", "right")
ENDS = ("front", "rear")
WHOLE = ["bonnet", "windscreen", "roof", "rear-screen", "tailgate", "bumper-front", "bumper-rear"]
SETS = [
    "all-glass",
    "side-glass-left",
    "side-glass-right",
    "rear-glass",
    "rims",
    "tyres",
    "wheels",
    "calipers",
    "upper-paint",
    "lower-paint",
    "paint",
    "trim",
    "lamps",
    "exterior",
]


def mask(drawing: FormDrawing, zone: ZoneId) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Every unit square of the drawing whose middle lies inside the zone."""
    size = drawing.view_box.size().toSize()
    image = QImage(size, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.black)
    painter = QPainter(image)
    painter.fillPath(drawing.zone_paths[zone], QColor("white"))
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(size.height(), image.bytesPerLine())
    return rows[:, : size.width()] > 0


def test_no_two_zones_overlap_by_more_than_half_a_percent(drawing: FormDrawing) -> None:
    masks = {zone: mask(drawing, zone) for zone in drawing.zone_paths}
    boxes = {zone: path.boundingRect() for zone, path in drawing.zone_paths.items()}
    for one, other in combinations(masks, 2):
        if boxes[one].intersects(boxes[other]):
            shared = np.count_nonzero(masks[one] & masks[other])
            smaller = min(np.count_nonzero(masks[one]), np.count_nonzero(masks[other]))
            assert shared / smaller <= 0.005, (one, other)


def test_every_zone_lies_inside_the_picture(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        assert drawing.view_box.contains(path.boundingRect()), zone


def test_the_drawing_and_the_form_name_the_same_zones(estate: VehicleForm) -> None:
    root = ElementTree.fromstring(resource("vehicles", "estate.svg").read_text(encoding="utf-8"))
    groups = {node.get("id"): node for node in root.iter("{http://www.w3.org/2000/svg}g")}
    drawn = [path.get("id") for path in groups["zones"].iter("{http://www.w3.org/2000/svg}path")]
    assert sorted(map(str, drawn)) == sorted(zone.id for zone in estate.zone)


def test_it_has_forty_eight_zones_or_more_and_each_side_has_the_same(estate: VehicleForm) -> None:
    ids = {zone.id for zone in estate.zone}
    assert len(ids) >= 48
    left = {zone.replace("left", "right") for zone in ids if "left" in zone}
    assert left == {zone for zone in ids if "right" in zone}
    assert ids.issuperset([*WHOLE, "grille", "tips", "cabin"])


@pytest.mark.parametrize("side", SIDES)
def test_every_side_has_its_glass_wheels_lamps_and_panels(estate: VehicleForm, side: str) -> None:
    ids = {zone.id for zone in estate.zone}
    wanted = {f"{part}-{side}" for part in ("wing", "quarter", "sill", "mirror", "headlamp", "taillamp", "trim")}
    wanted |= {f"{part}-{end}-{side}" for part in ("rim", "tyre", "caliper") for end in ENDS}
    wanted |= {f"door-{side}-{end}" for end in ENDS} | {f"glass-{side}-{end}" for end in (*ENDS, "quarter")}
    assert wanted <= ids


@pytest.mark.parametrize("name", SETS)
def test_a_set_that_jobs_rely_on_is_there_with_a_title(estate: VehicleForm, name: str) -> None:
    assert estate.zones_of([name])
    assert estate.set_titles[name]


def test_the_exterior_is_everything_but_the_cabin(estate: VehicleForm) -> None:
    everything = {zone.id for zone in estate.zone}
    assert everything - set(estate.zones_of(["exterior"])) == {"cabin"}


def test_a_set_of_one_surface_holds_all_of_it(estate: VehicleForm) -> None:
    for name, surface in (("all-glass", "glass"), ("rims", "rim"), ("tyres", "tyre"), ("lamps", "lamp")):
        assert set(estate.zones_of([name])) == {zone.id for zone in estate.zone if zone.surface == surface}


def test_neighbours_are_mutual(estate: VehicleForm) -> None:
    for zone in estate.zone:
        for other in zone.neighbours:
            assert zone.id in estate.zone_named(ZoneId(other)).neighbours, (zone.id, other)


def test_names_are_lower_case_and_stand_for_one_zone_each(estate: VehicleForm) -> None:
    names = [zone.name for zone in estate.zone]
    assert len(set(names)) == len(names)
    assert all(name == name.lower() for name in names)


def test_both_sides_are_mirror_images(drawing: FormDrawing) -> None:
    middle = drawing.view_box.center().y()
    for zone, path in drawing.zone_paths.items():
        if "left" in zone:
            left, right = path.boundingRect(), drawing.zone_paths[ZoneId(zone.replace("left", "right"))].boundingRect()
            assert left.center().x() == pytest.approx(right.center().x(), abs=0.5), zone
            assert left.center().y() - middle == pytest.approx(middle - right.center().y(), abs=0.5), zone


def test_wheels_are_round(drawing: FormDrawing) -> None:
    for side in SIDES:
        for end in ENDS:
            box = drawing.zone_paths[ZoneId(f"tyre-{end}-{side}")].boundingRect()
            assert box.width() == pytest.approx(box.height(), abs=0.5)
