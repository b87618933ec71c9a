"""A form's drawing: anchors, plates, and what a touch finds."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, QRectF, QSizeF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.ids import ZoneId
from tests.drawing.support.forms import form_of

TWO_ZONES = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100">
<g id="chassis"><path d="M0 0 L200 0 L200 100 L0 100 Z"/></g>
<g id="zones"><path id="a" d="M10 10 L90 10 L90 90 L10 90 Z"/><path id="b" d="M110 10 L190 10 L190 90 L110 90 Z"/></g>
<g id="detail"><path data-zone="a" d="M20 20 L40 20"/></g></svg>"""


@pytest.fixture
def boxes() -> FormDrawing:
    return FormDrawing(form_of("a", "b"), TWO_ZONES)


def test_every_anchor_is_the_middle_of_a_circle_inside_its_zone(drawing: FormDrawing) -> None:
    for zone, path in drawing.zone_paths.items():
        anchor = drawing.anchor(zone)
        assert path.contains(QPointF(anchor.x, anchor.y)), zone
        assert drawing.outline(zone).signed_distance(anchor.x, anchor.y) == pytest.approx(anchor.radius, abs=0.2), zone


def test_a_wheel_ring_is_marked_outside_the_car(drawing: FormDrawing) -> None:
    middle = drawing.view_box.center().y()
    for zone in drawing.form.zones_of(["tyres"]):
        wheel = drawing.zone_paths[zone].boundingRect().center().y()
        assert abs(drawing.anchor(zone).y - middle) > abs(wheel - middle), zone


def test_a_square_is_marked_in_its_middle(boxes: FormDrawing) -> None:
    anchor = boxes.anchor(ZoneId("a"))
    assert (anchor.x, anchor.y, anchor.radius) == pytest.approx((50, 50, 40), abs=0.3)


def test_a_plate_that_fits_lies_wholly_inside_its_zone(drawing: FormDrawing) -> None:
    size = QSizeF(90, 40)
    fitting = {zone: at for zone in drawing.zone_paths if (at := drawing.plate_anchor(zone, size)) is not None}
    for zone, at in fitting.items():
        plate = QRectF(at - QPointF(size.width() / 2, size.height() / 2), size)
        assert drawing.zone_paths[zone].contains(plate), zone
    assert {"windscreen", "bonnet", "glass-left-rear", "door-left-front"} <= fitting.keys()


def test_a_plate_that_cannot_fit_has_no_place(drawing: FormDrawing, boxes: FormDrawing) -> None:
    assert drawing.plate_anchor(ZoneId("sill-left"), QSizeF(60, 60)) is None
    assert boxes.plate_anchor(ZoneId("a"), QSizeF(81, 20)) is None
    assert boxes.plate_anchor(ZoneId("a"), QSizeF(70, 70)) == QPointF(50, 50)


def test_a_touch_inside_a_zone_finds_it_first_at_no_distance(drawing: FormDrawing) -> None:
    for zone in drawing.zone_paths:
        anchor = drawing.anchor(zone)
        assert drawing.zones_near(QPointF(anchor.x, anchor.y), 50)[0] == (zone, 0.0)


def test_a_touch_between_zones_finds_both_by_distance(boxes: FormDrawing) -> None:
    assert boxes.zones_near(QPointF(98, 50), 20) == [(ZoneId("a"), 8.0), (ZoneId("b"), 12.0)]
    assert boxes.zones_near(QPointF(98, 50), 10) == [(ZoneId("a"), 8.0)]
    assert boxes.zones_near(QPointF(100, 50), 5) == []


def test_a_touch_beside_a_thin_strip_still_finds_it(drawing: FormDrawing) -> None:
    box = drawing.zone_paths[ZoneId("sill-left")].boundingRect()
    below = QPointF(box.center().x(), box.bottom() + 30)
    assert drawing.zones_near(below, 64)[0][0] == "sill-left"


def test_details_belong_to_their_zone_and_are_no_zone(boxes: FormDrawing) -> None:
    assert [len(boxes.details[zone]) for zone in boxes.zone_paths] == [1, 0]


@pytest.mark.parametrize(
    ("zones", "svg", "words"),
    [
        (("a", "b", "c"), TWO_ZONES, "'c' of form 'box' is not drawn"),
        (("a",), TWO_ZONES, "path 'b' is no zone"),
        (("a", "b"), TWO_ZONES.replace('viewBox="0 0 200 100"', ""), "viewBox"),
        (("a", "b"), TWO_ZONES.replace('data-zone="a"', 'data-zone="x"'), "data-zone 'x'"),
        (("a", "b"), TWO_ZONES.replace("M10 10 L90", "m10 10 L90"), "path command 'm'"),
    ],
)
def test_a_drawing_that_does_not_fit_its_form_is_refused_with_what_is_wrong(
    zones: tuple[str, ...], svg: str, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        FormDrawing(form_of(*zones), svg)


def test_a_broken_drawing_is_refused_with_the_name_of_its_file(tmp_path: Path) -> None:
    (tmp_path / "box.svg").write_text("<svg", encoding="utf-8")
    with pytest.raises(ValueError, match=r"box\.svg"):
        FormDrawing.load(form_of("a"), tmp_path)
    with pytest.raises(ValueError, match=r"box\.svg"):
        FormDrawing.load(form_of("a"), tmp_path / "nowhere")
