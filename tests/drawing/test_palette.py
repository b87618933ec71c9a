"""Both themes hold the measured rules: states told apart, seen against what is around them, words readable."""

from itertools import combinations

import pytest

from bayapp.drawing.colour_math import contrast, mix
from bayapp.drawing.palette import LAYERS_SHOWN, PALETTES, Palette, next_theme
from bayapp.drawing.textures import inks_for
from bayapp.job.model.ids import Stage, Urgency
from tests.drawing.support.colour_vision import Vision, perceived_difference

APART = 15.0
GRAPHIC = 3.0  # WCAG 2.x, 1.4.11 non-text contrast
READABLE = 7.0  # WCAG 2.x, 1.4.6 enhanced contrast
SIDE_BY_SIDE = 2.0  # twice the difference that is just seen between colours that touch, about 1 (from memory)

themes = pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
eyes = pytest.mark.parametrize("vision", Vision)


@themes
@eyes
def test_any_two_states_are_told_apart_by_every_eye(palette: Palette, vision: Vision) -> None:
    for one, other in combinations(Urgency, 2):
        assert perceived_difference(palette.state(one), palette.state(other), vision) >= APART, (one, other)


@themes
@pytest.mark.parametrize("urgency", Urgency)
def test_a_state_stands_out_from_what_it_is_drawn_on(palette: Palette, urgency: Urgency) -> None:
    around = [palette.board, palette.tile, palette.plate_fill(urgency)]
    for ground in around:
        assert contrast(palette.line(urgency), ground) >= GRAPHIC, ground


@themes
def test_a_zone_outline_stands_out_from_its_fill_or_from_the_silhouette_around_it(palette: Palette) -> None:
    for urgency in Urgency:
        for stage in (Stage.UNTOUCHED, Stage.COATED):
            inks = inks_for(palette, "paint", stage, 0, urgency)
            sides = contrast(inks.outline, inks.fill), contrast(inks.outline, palette.chassis)
            assert max(sides) >= GRAPHIC, (urgency, stage)


@themes
def test_strokes_stand_out_from_the_tint_under_them_however_many_layers(palette: Palette) -> None:
    for urgency in Urgency:
        for layers in range(1, LAYERS_SHOWN + 1):
            inks = inks_for(palette, "glass", Stage.COATED, layers, urgency)
            assert contrast(inks.stroke, inks.fill) >= GRAPHIC, (urgency, layers)


@themes
@pytest.mark.parametrize("surface", ["paint", "glass", "tyre", "rim"])
def test_dots_of_a_clean_zone_are_seen_on_any_surface(palette: Palette, surface: str) -> None:
    inks = inks_for(palette, surface, Stage.CLEAN, 0, Urgency.IDLE)  # type: ignore[arg-type]
    assert contrast(inks.stroke, inks.fill) >= GRAPHIC


@themes
def test_a_worked_surface_is_not_the_colour_of_an_untouched_one(palette: Palette) -> None:
    for surface in ("paint", "glass", "tyre"):
        worked, untouched = (palette.quiet_fill(surface, worked=worked) for worked in (True, False))
        assert perceived_difference(worked, untouched) >= SIDE_BY_SIDE


@themes
@pytest.mark.parametrize("ground", ["board", "strip", "tile", "tile_raised", "plate", "halo"])
def test_words_are_readable_on_every_surface_they_stand_on(palette: Palette, ground: str) -> None:
    assert contrast(palette.text, getattr(palette, ground)) >= READABLE
    assert contrast(palette.text_quiet, getattr(palette, ground)) >= READABLE


@themes
def test_the_time_on_any_plate_and_the_flag_are_readable(palette: Palette) -> None:
    for urgency in Urgency:
        assert contrast(palette.text, palette.plate_fill(urgency)) >= READABLE
    assert contrast(palette.flag_text, palette.flag) >= READABLE


@themes
def test_shapes_on_a_slab_of_a_state_stand_out(palette: Palette) -> None:
    for urgency in Urgency:
        assert contrast(palette.ink_on(urgency), palette.state(urgency)) >= GRAPHIC


@themes
def test_the_ring_of_the_next_zone_stands_out_from_its_edges(palette: Palette) -> None:
    assert contrast(palette.ring, palette.ring_edge) >= READABLE


@themes
def test_only_a_pale_open_leans_on_its_rim(palette: Palette) -> None:
    pale = [u for u in Urgency if contrast(palette.state(u), palette.board) < GRAPHIC]
    assert pale == [u for u in Urgency if palette.pale_open(u)]


@themes
def test_each_layer_makes_the_tint_stronger(palette: Palette) -> None:
    tints = [palette.tint(Urgency.WAITING, layers) for layers in range(4)]
    assert len(set(tints)) == len(tints)
    shares = [palette.tint_share + palette.tint_step * n for n in range(4)]
    assert tints == [mix(palette.state(Urgency.WAITING), palette.zone, share) for share in shares]


def test_a_touch_on_the_theme_goes_round_every_theme_once() -> None:
    names = [next(iter(PALETTES))]
    while (name := next_theme(names[-1]).name) != names[0]:
        names.append(name)
    assert names == list(PALETTES)
