"""The signs of marks: told apart in grey, never taken for a clock's badge, never hidden where they forbid."""

from datetime import date
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QRectF

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.car_painter import CarPainter, ZoneLook
from bayapp.drawing.colour_math import contrast
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.mark_signs import SHOWN, SIGN, MarkSigns, by_weight, paint_sign
from bayapp.drawing.palette import DARK, PALETTES, Palette
from bayapp.job.model.ids import THE_CAR, Stage, Urgency, ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind
from tests.drawing.support.pictures import Picture, painted

FAMILY = "DejaVu Sans"
SEEN_AT_3_M = 15
"""A tag of 12 mm at 3 m is 14 minutes of arc tall, an eye resolves one (ISO 8596, from memory)."""
DAY = date(2026, 2, 21)
KINDS = [
    *(Mark(kind=kind, date=DAY if kind is MarkKind.REPAINTED else None) for kind in MarkKind),
    *(Mark(kind=MarkKind.DAMAGE, what=what) for what in Damage),
]


@pytest.fixture
def signs(drawing: FormDrawing, qapp: object) -> MarkSigns:
    return MarkSigns(drawing, DARK, FAMILY)


def tag(mark: Mark | int, size: int = SEEN_AT_3_M, palette: Palette = DARK) -> Picture:
    return painted(size, size, lambda p: paint_sign(p, QRectF(0, 0, size, size), mark, palette, FAMILY), palette.board)


def darkness(picture: Picture) -> np.ndarray:
    """Return how far each pixel is from white, 0 to 1."""
    return 1 - picture.mean(axis=2) / 255


def name_of(mark: Mark) -> str:
    return mark.what or mark.kind


@pytest.mark.parametrize(("one", "other"), list(combinations(KINDS, 2)), ids=name_of)
def test_any_two_signs_are_told_apart_in_grey_at_three_metres(one: Mark, other: Mark, qapp: object) -> None:
    differing = np.abs(darkness(tag(one)) - darkness(tag(other))) > 0.3
    assert np.count_nonzero(differing) >= 0.07 * SEEN_AT_3_M**2


@pytest.mark.parametrize("urgency", [u for u in Urgency if u is not Urgency.IDLE])  # without a clock there is none
def test_a_tag_is_never_taken_for_a_clocks_badge(urgency: Urgency, qapp: object) -> None:
    box, colours = QRectF(0, 0, SEEN_AT_3_M, SEEN_AT_3_M), badge_on_plate(DARK, urgency)
    size = SEEN_AT_3_M
    badge = painted(size, size, lambda painter: paint_badge(painter, urgency, box, colours), colours.ground)
    for mark in KINDS:
        differing = np.abs(darkness(tag(mark)) - darkness(badge)) > 0.3
        assert np.count_nonzero(differing) >= 0.15 * size**2, mark


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_the_figure_stands_out_from_its_tag_and_the_tag_from_the_car(palette: Palette) -> None:
    assert contrast(palette.board, palette.text) >= 7.0  # WCAG 2.x, 1.4.6
    for ground in (palette.zone, palette.glass, palette.solid, *palette.states.values()):
        assert max(contrast(palette.text, ground), contrast(palette.board, ground)) >= 3.0  # the tag, or its edge


def test_every_zone_of_the_estate_has_a_place_for_its_tags(signs: MarkSigns, drawing: FormDrawing) -> None:
    leave = Mark(kind=MarkKind.LEAVE)
    for zone, path in drawing.zone_paths.items():
        ((box, mark),) = signs.boxes(zone, (leave,))
        assert mark == leave
        assert path.intersects(box), zone
        assert drawing.view_box.contains(box), zone


def test_where_there_is_room_the_tags_lie_inside_the_zone_and_clear_of_its_badge(
    signs: MarkSigns, drawing: FormDrawing
) -> None:
    marks = (Mark(kind=MarkKind.FILM), Mark(kind=MarkKind.DAMAGE, what=Damage.DENT))
    for zone in map(ZoneId, ("roof", "bonnet", "windscreen", "door-left-front")):
        at = drawing.anchor(zone)
        for box, _mark in signs.boxes(zone, marks):
            assert drawing.zone_paths[zone].contains(box), zone
            assert not box.contains(at.x, at.y), zone


def test_those_that_forbid_are_shown_and_only_damage_is_counted(signs: MarkSigns) -> None:
    marks = [*(m for m in KINDS if m.kind is MarkKind.DAMAGE), Mark(kind=MarkKind.LEAVE), Mark(kind=MarkKind.MATT)]
    shown = [mark for _box, mark in signs.boxes(ZoneId("roof"), marks)]
    assert shown == [Mark(kind=MarkKind.LEAVE), Mark(kind=MarkKind.MATT), len(marks) - 2]
    assert len(shown) == SHOWN
    assert by_weight(marks)[:2] == shown[:2]


def test_a_damage_is_shown_where_somebody_pointed_at_it(signs: MarkSigns, drawing: FormDrawing) -> None:
    at = drawing.anchor(ZoneId("roof"))
    ((box, _mark),) = signs.boxes(ZoneId("roof"), (Mark(kind=MarkKind.DAMAGE, point=(at.x, at.y)),))
    assert (box.center().x(), box.center().y()) == (at.x, at.y)


def test_a_mark_set_meanwhile_changes_only_what_is_painted_anew(drawing: FormDrawing, qapp: object) -> None:
    car, target = CarPainter(drawing, DARK, family=FAMILY), QRectF(0, 0, 800, 500)
    looks = {zone: ZoneLook(stage=Stage.CLEAN) for zone in drawing.zone_paths if zone != THE_CAR}

    def shot(seen: dict[ZoneId, ZoneLook]) -> Picture:
        return painted(800, 500, lambda painter: car.paint(painter, target, seen), DARK.board)

    before = shot(looks)
    for zone in map(ZoneId, ("rim-front-left", "mirror-left", "roof", "sill-left")):
        marked = ZoneLook(stage=Stage.CLEAN, marks=(Mark(kind=MarkKind.LEAVE),))
        after = shot(looks | {zone: marked})
        where = np.argwhere(np.any(after != before, axis=2))
        dirty = car.dirty_rect(target, zone, marked).adjusted(-1, -1, 1, 1)
        assert len(where) > 50, zone
        assert dirty.contains(*map(float, where.min(axis=0)[::-1]))
        assert dirty.contains(*map(float, where.max(axis=0)[::-1]))


def test_a_tag_is_ten_millimetres_or_more_on_a_screen_of_27_inches(drawing: FormDrawing) -> None:
    """The car is drawn 1110 px wide on 1920 x 1080, and such a screen is 598 mm wide."""
    assert SIGN * 1110 / drawing.view_box.width() * 598 / 1920 >= 10
