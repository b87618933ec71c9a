"""The heat drawing: a scale that grey tells too, figures that stand out on it, and touches that find painted zones."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from bayapp.drawing.colour_math import contrast, luminance
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.looks import NO_WORDS
from bayapp.drawing.palette import DARK, LIGHT, Palette
from bayapp.drawing.thickness_map import (
    RAMP,
    HeatWords,
    HeatZone,
    ThicknessMap,
    colour_of,
    edges_of,
    ink_on,
    paint_scale,
)
from bayapp.files.library import Library
from bayapp.job.model.ids import ZoneId
from bayapp.paths import resource

TARGET = QRectF(0, 0, 1000, 640)
THIN = 80.0


def lightness(colour: str) -> float:
    """CIE 1976 lightness L* (CIE 15, equation from memory), 0 to 100."""
    y = luminance(colour)
    return 116 * y ** (1 / 3) - 16 if y > 216 / 24389 else y * 24389 / 27


@pytest.fixture(scope="module")
def estate() -> FormDrawing:
    return FormDrawing.load(Library().load_vehicle("estate"), resource("vehicles"))


def painted(estate: FormDrawing, palette: Palette, zones: dict[str, HeatZone], chosen: str | None = None) -> QImage:
    image = QImage(int(TARGET.width()), int(TARGET.height()), QImage.Format.Format_RGB32)
    image.fill(QColor(palette.board))
    heat = {ZoneId(zone): found for zone, found in zones.items()}
    with QPainter(image) as painter:
        chosen_zone = ZoneId(chosen) if chosen else None
        ThicknessMap(estate, palette, NO_WORDS).paint(painter, TARGET, heat, THIN, chosen_zone)
    return image


def share_of(image: QImage, colour: str) -> int:
    """How many pixels of a grid have this colour."""
    wanted = QColor(colour).rgb()
    return sum(image.pixel(x, y) == wanted for x in range(0, image.width(), 3) for y in range(0, image.height(), 3))


def test_the_thicker_the_darker_in_steps_that_grey_tells_apart() -> None:
    steps = [lightness(colour) for colour in RAMP]
    assert all(lighter - darker >= 7 for lighter, darker in pairwise(steps)), steps


def test_thicker_paint_is_never_lighter() -> None:
    found = [lightness(colour_of(um, THIN)) for um in range(0, 5_001, 5)]
    assert all(before >= after for before, after in pairwise(found))
    assert len(set(found)) == len(RAMP)


@pytest.mark.parametrize("thin", [20.0, 80.0, 500.0])
def test_thin_begins_its_own_step_whatever_the_shop_calls_thin(thin: float) -> None:
    assert thin in edges_of(thin)
    assert colour_of(thin - 0.1, thin) != colour_of(thin, thin)
    assert list(edges_of(thin)) == sorted(edges_of(thin))


@pytest.mark.parametrize("fill", RAMP)
def test_figures_stand_out_on_every_step_by_wcag(fill: str) -> None:
    assert contrast(ink_on(fill), fill) >= 7


@pytest.mark.parametrize("palette", [DARK, LIGHT], ids=lambda palette: palette.name)
def test_a_measured_zone_has_the_fill_of_its_mean_and_others_none_of_the_scale(
    estate: FormDrawing, palette: Palette
) -> None:
    plain = painted(estate, palette, {})
    assert all(share_of(plain, colour) == 0 for colour in RAMP)
    image = painted(estate, palette, {"bonnet": HeatZone(262.0), "roof": HeatZone(76.0)})
    assert share_of(image, colour_of(262.0, THIN)) > 1_000
    assert share_of(image, colour_of(76.0, THIN)) > 1_000
    assert sum(share_of(image, colour) > 0 for colour in RAMP) == 2


def test_thin_and_unlike_are_told_by_a_sign_and_not_by_the_fill_alone(estate: FormDrawing) -> None:
    plain = painted(estate, DARK, {"bonnet": HeatZone(90.0)})
    thin = painted(estate, DARK, {"bonnet": HeatZone(90.0, thin=72.0)})
    unlike = painted(estate, DARK, {"bonnet": HeatZone(90.0, unlike=True)})
    inks = [share_of(image, ink_on(colour_of(90.0, THIN))) for image in (plain, thin, unlike)]
    assert inks[0] < inks[1] != inks[2] > inks[0]


def test_the_chosen_zone_has_a_ring(estate: FormDrawing) -> None:
    assert painted(estate, DARK, {}) != painted(estate, DARK, {}, chosen="roof")


@pytest.mark.parametrize(
    "form", ["coupe", "estate", "hatchback", "motorcycle", "pick-up", "saloon", "sport-utility", "van"]
)
def test_every_painted_zone_of_a_shipped_form_is_found_by_a_touch_at_its_middle(form: str) -> None:
    drawing = FormDrawing.load(Library().load_vehicle(form), resource("vehicles"))
    heat = ThicknessMap(drawing, DARK, NO_WORDS)
    assert heat.painted
    for zone in heat.painted:
        assert heat.zone_at(TARGET, heat.centre_of(TARGET, zone), 0) == zone


def test_a_touch_on_glass_means_the_painted_zone_beside_it_or_none(estate: FormDrawing) -> None:
    heat = ThicknessMap(estate, DARK, NO_WORDS)
    windscreen = heat.centre_of(TARGET, ZoneId("windscreen"))
    assert heat.zone_at(TARGET, windscreen, 5) is None
    assert heat.zone_at(TARGET, windscreen, 300) in heat.painted
    assert heat.zone_at(TARGET, QPointF(-500, -500), 50) is None


def test_the_scale_shows_every_step(estate: FormDrawing) -> None:
    image = QImage(800, 70, QImage.Format.Format_RGB32)
    image.fill(QColor(DARK.board))
    with QPainter(image) as painter:
        words = HeatWords("mean, µm", "thin", "unlike its neighbours")
        paint_scale(painter, QRectF(0, 0, 800, 70), THIN, DARK, words)
    assert all(share_of(image, colour) > 100 for colour in RAMP)
