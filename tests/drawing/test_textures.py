"""Every stage and every number of layers looks unlike the next, whatever their motions and order."""

from functools import partial
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QGuiApplication, QPainter, QPainterPath

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.palette import DARK, PALETTES, Palette
from bayapp.drawing.textures import PITCH, STROKE, inks_for, paint_aside, paint_cover, paint_layers, paint_texture
from bayapp.job.model.ids import Motion, Stage, Urgency, ZoneId
from tests.drawing.support.pictures import Picture, is_colour, painted, share_differing

V, H, C = Motion.VERTICAL, Motion.HORIZONTAL, Motion.CIRCULAR
PANE = QRectF(0, 0, 264, 132)


def pane(stage: Stage, layers: tuple[Motion, ...] = (), palette: Palette = DARK) -> Picture:
    path = QPainterPath()
    path.addRect(PANE)
    inks = inks_for(palette, "paint", stage, len(layers), Urgency.IDLE)
    return painted(264, 132, lambda painter: paint_texture(painter, path, stage, layers, inks))


def strokes(*layers: Motion) -> Picture:
    return painted(264, 132, lambda painter: paint_layers(painter, PANE, layers, "#ffffff"))


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_any_two_stages_differ_over_a_fair_share_of_the_surface(palette: Palette) -> None:
    pictures = {stage: pane(stage, (V,) if stage is Stage.COATED else (), palette) for stage in Stage}
    for one, other in combinations(Stage, 2):
        share = share_differing(pictures[one], pictures[other], slack=10)
        corner_only = {one, other} == {Stage.BUFFED, Stage.FINISHED}
        assert share >= (0.005 if corner_only else 0.05), (one, other)


def aside(stage: Stage, layers: tuple[Motion, ...], palette: Palette) -> Picture:
    """A zone that is set aside, on whatever its surface shows."""
    path = QPainterPath()
    path.addRect(PANE)

    def draw(painter: QPainter) -> None:
        paint_texture(painter, path, stage, layers, inks_for(palette, "paint", stage, len(layers), Urgency.IDLE))
        paint_aside(painter, path, palette)

    return painted(264, 132, draw)


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_a_zone_set_aside_differs_by_its_lines_from_every_stage_that_is_not(palette: Palette) -> None:
    for stage in Stage:
        layers = (V, H) if stage is Stage.COATED else ()
        lines = aside(stage, layers, palette).max(axis=2).astype(int)
        leaning = [abs(lines[20:100, 60:200] - lines[30:110, 60 + way : 200 + way]).mean() for way in (10, -10)]
        assert leaning[0] < leaning[1], f"{stage}: the lines fall to the right"
        for other in Stage:
            plain = pane(other, (V, H) if other is Stage.COATED else (), palette)
            assert share_differing(aside(stage, layers, palette), plain, slack=10) >= 0.1, (stage, other)


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
@pytest.mark.parametrize("urgency", [Urgency.IDLE, Urgency.WAITING, Urgency.OPEN, Urgency.CLOSING])
def test_a_cover_shows_along_the_edge_and_leaves_the_surface_to_be_seen(palette: Palette, urgency: Urgency) -> None:
    path = QPainterPath()
    path.addRect(PANE)
    inks = inks_for(palette, "paint", Stage.COATED, 1, urgency)

    def draw(painter: QPainter) -> None:
        paint_texture(painter, path, Stage.COATED, (V,), inks)
        paint_cover(painter, path, palette)

    covered = painted(264, 132, draw)
    bare = painted(264, 132, lambda painter: paint_texture(painter, path, Stage.COATED, (V,), inks))
    assert share_differing(covered, bare, slack=10) >= 0.05
    inside = slice(40, -40), slice(40, -40)
    assert share_differing(covered[inside], bare[inside], slack=10) == 0


def test_layers_accumulate_in_any_order_of_any_motions() -> None:
    for layers in product(Motion, repeat=3):
        inked = [np.count_nonzero(is_colour(strokes(*layers[:n]), "#ffffff", 40)) for n in range(4)]
        assert all(after > before * 1.03 for before, after in pairwise(inked)), layers


def test_a_layer_never_hides_one_before_it() -> None:
    for layers in product(Motion, repeat=3):
        before, after = (is_colour(strokes(*layers[:n]), "#ffffff", 40) for n in (2, 3))
        assert not np.any(before & ~after), layers


def test_strokes_run_the_way_they_were_laid() -> None:
    upright, level = strokes(V).max(axis=2) > 128, strokes(H).max(axis=2) > 128
    assert np.array_equal(upright[30], upright[100])
    assert np.array_equal(level[:, 30], level[:, 200])
    assert not np.array_equal(upright[:, 30], level[:, 30])


def test_strokes_stand_at_the_pitch_and_width_they_are_given() -> None:
    row = (strokes(V)[60].max(axis=1) > 128).astype(int)
    starts = np.flatnonzero(np.diff(row) == 1)
    assert np.all(np.abs(np.diff(starts) - PITCH) <= 1)
    assert row.mean() == pytest.approx(STROKE / PITCH, abs=0.05)


def test_circles_stand_in_the_cells_between_strokes() -> None:
    circles = is_colour(strokes(C), "#ffffff", 100)
    for motion in (V, H):
        lines = is_colour(strokes(motion), "#ffffff", 100)
        assert np.count_nonzero(circles & lines) < 0.05 * np.count_nonzero(circles)


def test_circles_are_told_from_lines_in_both_directions() -> None:
    assert share_differing(strokes(C), strokes(V)) > 0.1
    assert share_differing(strokes(C), strokes(H)) > 0.1


def test_a_texture_stays_inside_its_zone(drawing: FormDrawing) -> None:
    zone = ZoneId("glass-left-rear")
    path = drawing.zone_paths[zone]
    inks = inks_for(DARK, "glass", Stage.COATED, 3, Urgency.WAITING)

    def draw(painter: QPainter) -> None:
        paint_texture(painter, path, Stage.COATED, (V, H, C), inks)

    picture = painted(1600, 1000, draw)
    touched = np.argwhere(picture.max(axis=2) > 40)
    box = path.boundingRect().adjusted(-1, -1, 1, 1)
    assert len(touched) > 1000
    assert touched[:, 1].min() >= box.left() - 1
    assert touched[:, 1].max() <= box.right()
    assert touched[:, 0].min() >= box.top() - 1
    assert touched[:, 0].max() <= box.bottom()


def test_a_finished_zone_of_any_shape_has_its_upper_right_corner_cut(drawing: FormDrawing) -> None:
    inks = inks_for(DARK, "paint", Stage.FINISHED, 0, Urgency.FINISHED)
    for zone, path in drawing.zone_paths.items():
        box = path.boundingRect().toAlignedRect()
        moved = path.translated(-box.x(), -box.y())
        picture = painted(
            box.width(),
            box.height(),
            partial(paint_texture, path=moved, stage=Stage.FINISHED, layers=(), inks=inks),
            ground="#ff00ff",
        )
        solid = np.argwhere(is_colour(picture, inks.solid))
        cut = np.argwhere(is_colour(picture, inks.bare))
        assert len(cut) > 20, zone
        assert (cut[:, 1] - cut[:, 0]).min() > np.median(solid[:, 1] - solid[:, 0]), zone


def test_painting_a_texture_leaves_the_painter_as_it_was(qapp: QGuiApplication) -> None:
    path = QPainterPath()
    path.addRect(PANE)

    def draw(painter: QPainter) -> None:
        before = painter.pen(), painter.brush(), painter.transform(), painter.hasClipping()
        for stage in Stage:
            paint_texture(painter, path, stage, (V, C), inks_for(DARK, "paint", stage, 2, Urgency.OPEN))
        assert before == (painter.pen(), painter.brush(), painter.transform(), painter.hasClipping())

    painted(264, 132, draw)
