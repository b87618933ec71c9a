"""The whole car: what changes when a zone changes, what stays, and where a touch lands."""

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF

from bayapp.drawing.car_painter import CarPainter, ZoneLook
from bayapp.drawing.colour_math import contrast
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.palette import DARK, LIGHT, PALETTES, Palette
from bayapp.job.model.ids import THE_CAR, Motion, Stage, Urgency, ZoneId
from tests.drawing.support.pictures import Picture, is_colour, painted, share_differing

FAMILY = "DejaVu Sans"
READABLE = 4.5  # WCAG 2.x, 1.4.3 contrast (minimum)
TARGET = QRectF(0, 0, 800, 500)
GLASS = ZoneLook(
    stage=Stage.COATED,
    layers=(Motion.VERTICAL,),
    urgency=Urgency.WAITING,
    fraction=0.5,
    time_text="3:12",
    show_time=True,
)
Looks = dict[ZoneId, ZoneLook]


@pytest.fixture
def car(drawing: FormDrawing, qapp: object) -> CarPainter:
    return CarPainter(drawing, DARK, family=FAMILY)


def shot(car: CarPainter, looks: Looks, label: str = "", target: QRectF = TARGET) -> Picture:
    return painted(800, 500, lambda painter: car.paint(painter, target, looks, label), car.palette.board)


def test_a_changed_zone_changes_only_its_dirty_rectangle(car: CarPainter, drawing: FormDrawing) -> None:
    looks: Looks = {zone: ZoneLook() for zone in drawing.zone_paths}
    before = shot(car, looks)
    for zone in ("windscreen", "rim-front-left", "trim-right", "tyre-rear-left", "tips"):
        changed = looks | {ZoneId(zone): GLASS}
        where = np.argwhere(np.any(shot(car, changed) != before, axis=2))
        dirty = car.dirty_rect(TARGET, ZoneId(zone), GLASS).adjusted(-1, -1, 1, 1)
        assert len(where) > 50, zone
        assert where[:, 1].min() >= dirty.left(), zone
        assert where[:, 1].max() <= dirty.right(), zone
        assert where[:, 0].min() >= dirty.top(), zone
        assert where[:, 0].max() <= dirty.bottom(), zone


def test_repainting_only_the_dirty_rectangle_gives_the_whole_picture(car: CarPainter, drawing: FormDrawing) -> None:
    looks: Looks = {zone: ZoneLook(stage=Stage.CLEAN) for zone in drawing.zone_paths}
    looks[ZoneId("rim-front-left")] = replace(GLASS, next_up=True)
    changed = looks | {ZoneId("windscreen"): GLASS}

    def twice(painter):
        car.paint(painter, TARGET, looks, "level")
        dirty = car.dirty_rect(TARGET, ZoneId("windscreen"), GLASS)
        painter.fillRect(dirty, car.palette.board)
        car.paint(painter, TARGET, changed, "level", dirty=dirty)

    patched, whole = painted(800, 500, twice, DARK.board), shot(car, changed, "level")
    assert share_differing(patched, whole, slack=60) < 0.002


def test_kept_pictures_look_like_the_drawing_itself(drawing: FormDrawing, qapp: object) -> None:
    looks: Looks = {zone: replace(GLASS, show_time=False) for zone in drawing.zone_paths}
    kept, plain = (CarPainter(drawing, LIGHT, family=FAMILY, cached=cached) for cached in (True, False))
    assert share_differing(shot(kept, looks), shot(plain, looks), slack=40) < 0.01


def test_every_state_looks_unlike_every_other_on_a_pane(car: CarPainter) -> None:
    pane = ZoneId("glass-left-rear")
    rect = car.zone_rect_on(TARGET, pane).toAlignedRect()
    crops = {}
    for urgency in Urgency:
        picture = shot(car, {pane: replace(GLASS, urgency=urgency)})
        crops[urgency] = picture[rect.top() : rect.bottom(), rect.left() : rect.right()]
    for one in Urgency:
        for other in Urgency:
            if one < other:
                assert share_differing(crops[one], crops[other]) > 0.1, (one, other)


def test_two_layers_and_three_differ_on_plate_and_texture(car: CarPainter) -> None:
    zone = ZoneId("rear-screen")
    two = replace(GLASS, layers=(Motion.VERTICAL, Motion.HORIZONTAL))
    three = replace(GLASS, layers=(Motion.VERTICAL, Motion.HORIZONTAL, Motion.CIRCULAR))
    rect = car.zone_rect_on(TARGET, zone).toAlignedRect()
    crop = np.s_[rect.top() : rect.bottom(), rect.left() : rect.right()]
    assert share_differing(shot(car, {zone: two})[crop], shot(car, {zone: three})[crop]) > 0.05


def test_the_next_zone_wears_a_ring_and_a_flag(car: CarPainter) -> None:
    zone = ZoneId("roof")
    quiet, ringed = shot(car, {zone: ZoneLook()}), shot(car, {zone: ZoneLook(next_up=True)}, "polish")
    new = is_colour(ringed, DARK.flag) & ~is_colour(quiet, DARK.flag)
    flag = car.transform(TARGET).mapRect(car.flag_rect(zone, {zone: ZoneLook(next_up=True)}, "polish"))
    inside = new[int(flag.top()) : int(flag.bottom()), int(flag.left()) : int(flag.right())]
    assert inside.mean() > 0.5
    assert new.sum() - inside.sum() > 300


def test_the_car_itself_is_drawn_around_the_whole_of_it_and_nothing_where_there_is_nothing_to_tell(
    car: CarPainter, drawing: FormDrawing
) -> None:
    plain = shot(car, {})
    assert not np.any(shot(car, {THE_CAR: ZoneLook()}) != plain)
    body = car.transform(TARGET).mapRect(drawing.chassis.boundingRect())
    for look in (ZoneLook(stage=Stage.CLEAN), ZoneLook(urgency=Urgency.WORKING), ZoneLook(next_up=True)):
        changed = np.argwhere(np.any(shot(car, {THE_CAR: look}) != plain, axis=2))
        assert changed[:, 1].min() <= body.left() + 1, look
        assert changed[:, 0].max() >= body.bottom() - 6, look


def test_only_what_shows_around_the_whole_car_has_the_whole_car_painted_again(car: CarPainter) -> None:
    working = ZoneLook(urgency=Urgency.WORKING, time_text="5:00", show_time=True)
    second = car.dirty_between(TARGET, THE_CAR, working, replace(working, time_text="5:01"))
    assert second.width() < TARGET.width() / 4
    assert car.dirty_between(TARGET, THE_CAR, working, replace(working, stage=Stage.CLEAN)) == TARGET


def test_the_flag_stays_put_until_a_zone_under_it_becomes_active(car: CarPainter, drawing: FormDrawing) -> None:
    roof = ZoneId("roof")
    looks: Looks = {zone: ZoneLook(next_up=zone == roof) for zone in drawing.zone_paths}
    first = car.flag_rect(roof, looks, "polish")
    under = [zone for zone, path in drawing.zone_paths.items() if path.intersects(first)]
    far = next(z for z in drawing.zone_paths if z not in under and z != roof)
    assert car.flag_rect(roof, looks | {far: GLASS}, "polish") == first
    moved = car.flag_rect(roof, looks | {under[0]: GLASS}, "polish")
    assert not drawing.zone_paths[under[0]].intersects(moved)


def test_a_picked_zone_wears_a_ring_without_a_flag(car: CarPainter) -> None:
    picked = shot(car, {ZoneId("roof"): ZoneLook(selected=True)})
    assert is_colour(picked, DARK.ring).sum() > 300
    assert (
        is_colour(picked, DARK.ring).sum()
        < is_colour(shot(car, {ZoneId("roof"): ZoneLook(next_up=True)}), DARK.ring).sum()
    )


def test_a_name_is_written_only_on_a_quiet_zone_with_room(car: CarPainter) -> None:
    def differs(zone: str, look: ZoneLook) -> bool:
        named = replace(look, name="some name")
        return bool(np.any(shot(car, {ZoneId(zone): named}) != shot(car, {ZoneId(zone): look})))

    assert differs("bonnet", ZoneLook())
    assert not differs("caliper-front-left", ZoneLook())
    assert not differs("bonnet", GLASS)


def test_the_drawing_keeps_its_shape_and_is_centred(car: CarPainter) -> None:
    for target in (QRectF(0, 0, 1200, 760), QRectF(30, 50, 400, 900), QRectF(0, 0, 640, 100)):
        view = car.transform(target).mapRect(car.drawing.view_box)
        assert view.width() / view.height() == pytest.approx(1.6)
        assert view.center().x() == pytest.approx(target.center().x())
        assert view.center().y() == pytest.approx(target.center().y())
        assert view.width() <= target.width() + 1e-6
        assert view.height() <= target.height() + 1e-6


def test_a_touch_finds_the_zone_under_it_and_its_neighbours_by_pixels(car: CarPainter) -> None:
    target = QRectF(40, 20, 800, 500)
    for zone in car.drawing.zone_paths:
        anchor = car.drawing.anchor(zone)
        at = car.transform(target).map(QPointF(anchor.x, anchor.y))
        assert car.map_to_zone(target, at, 48)[0] == (zone, 0.0)
    sill = car.zone_rect_on(target, ZoneId("sill-left"))
    below = QPointF(sill.center().x(), sill.bottom() + 10)
    zone, distance = car.map_to_zone(target, below, 30)[0]
    assert zone == "sill-left"
    assert distance == pytest.approx(10, abs=0.6)


def test_zones_without_a_look_are_drawn_as_untouched(car: CarPainter, drawing: FormDrawing) -> None:
    assert np.array_equal(shot(car, {}), shot(car, {zone: ZoneLook() for zone in drawing.zone_paths}))


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_a_zone_that_is_not_in_the_job_merges_with_the_silhouette(drawing: FormDrawing, palette: Palette) -> None:
    """Today's zones stand before it: filled, where it has nothing but a line."""
    car, roof = CarPainter(drawing, palette), ZoneId("roof")
    box = car.zone_rect_on(TARGET, roof).toAlignedRect()

    def silhouette(look: ZoneLook) -> float:
        inside = shot(car, {roof: look})[box.top() : box.bottom(), box.left() : box.right()]
        return float(is_colour(inside, palette.chassis).mean())

    assert silhouette(ZoneLook(away=True)) > 0.9
    assert silhouette(ZoneLook()) < 0.1
    assert contrast(palette.away_text, palette.chassis) >= READABLE
