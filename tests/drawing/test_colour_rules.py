"""The colour rules against the numbers their authors published."""

import csv
from pathlib import Path

import pytest

from bayapp.drawing.colour_rules import Vision, contrast, difference, hex_of, lab, mix, rgb, seen_by, told_apart

SHARMA = Path(__file__).parents[1] / "data" / "ciede2000_sharma_2005.csv"


def sharma_pairs() -> list[list[float]]:
    lines = [line for line in SHARMA.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [[float(cell) for cell in row] for row in list(csv.reader(lines))[1:]]


@pytest.mark.parametrize("row", sharma_pairs(), ids=lambda row: f"{row[6]:.4f}")
def test_ciede2000_gives_every_published_pair_to_four_decimals(row: list[float]) -> None:
    one, other = (row[0], row[1], row[2]), (row[3], row[4], row[5])
    assert difference(one, other) == pytest.approx(row[6], abs=5e-5)
    assert difference(other, one) == pytest.approx(row[6], abs=5e-5)


def test_all_thirty_four_pairs_are_there() -> None:
    assert len(sharma_pairs()) == 34


# WCAG 2.x definition of contrast. The ratios of #777777 and #767676 on white, on either side of the 4.5 line, are
# W3C's own examples; the others were computed independently from the definition, rounded to four decimals.
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#ffffff", "#000000", 21.0),
        ("#777777", "#ffffff", 4.4781),
        ("#767676", "#ffffff", 4.5422),
        ("#959595", "#ffffff", 2.9953),
        ("#949494", "#ffffff", 3.0335),
        ("#5a5a5a", "#ffffff", 6.8969),
        ("#595959", "#ffffff", 7.0047),
        ("#ff0000", "#ffffff", 3.9985),
        ("#ff0000", "#000000", 5.2520),
        ("#0000ff", "#ffffff", 8.5925),
        ("#0000ff", "#000000", 2.4440),
        ("#ffff00", "#000000", 19.5560),
        ("#808080", "#ffffff", 3.9494),
        ("#808080", "#000000", 5.3172),
        ("#ffb000", "#121212", 10.2251),
        ("#ff0000", "#00ff00", 2.9139),
    ],
)
def test_contrast_follows_the_wcag_definition(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=5e-5)
    assert contrast(other, one) == contrast(one, other)


# Machado, Oliveira and Fernandes 2009, severity 1.0; 8-bit values computed with the matrices as the
# colorspacious library publishes them, clipped to the gamut.
@pytest.mark.parametrize(
    ("colour", "protan", "deutan", "tritan"),
    [
        ((255, 0, 0), (109, 95, 0), (163, 144, 0), (255, 0, 15)),
        ((0, 255, 0), (255, 229, 0), (239, 214, 58), (0, 247, 217)),
        ((255, 176, 0), (205, 180, 0), (223, 199, 20), (255, 155, 150)),
        ((0, 114, 178), (83, 117, 181), (59, 103, 177), (0, 130, 137)),
    ],
)
def test_simulated_colour_blindness_gives_the_check_values(
    colour: tuple[int, int, int],
    protan: tuple[int, int, int],
    deutan: tuple[int, int, int],
    tritan: tuple[int, int, int],
) -> None:
    written = "#{:02x}{:02x}{:02x}".format(*colour)
    for vision, expected in ((Vision.PROTAN, protan), (Vision.DEUTAN, deutan), (Vision.TRITAN, tritan)):
        assert tuple(round(part * 255) for part in rgb(seen_by(vision, written))) == expected


def test_a_normal_eye_sees_the_colour_itself() -> None:
    assert seen_by(Vision.NORMAL, "#3b86ef") == "#3b86ef"


def test_grey_stays_grey_for_every_eye() -> None:
    for vision in Vision:
        red, green, blue = rgb(seen_by(vision, "#808080"))
        assert max(red, green, blue) - min(red, green, blue) <= 1 / 255


# CIE 15 and IEC 61966-2-1: white of sRGB is L* 100, a* b* 0; the primaries' values are the ones commonly tabulated.
@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ("#ffffff", (100.0, 0.0, 0.0)),
        ("#000000", (0.0, 0.0, 0.0)),
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
    ],
)
def test_lab_of_srgb_primaries_is_as_tabulated(colour: str, expected: tuple[float, float, float]) -> None:
    assert lab(colour) == pytest.approx(expected, abs=0.02)


def test_mixing_ends_at_either_colour_and_writes_what_it_reads() -> None:
    assert mix("#123456", "#abcdef", 1) == "#123456"
    assert mix("#123456", "#abcdef", 0) == "#abcdef"
    assert hex_of(rgb("#09af7c")) == "#09af7c"


def test_red_and_green_lose_most_of_their_difference_for_a_deutan_eye() -> None:
    assert told_apart("#c04040", "#7a7a20", Vision.DEUTAN) < told_apart("#c04040", "#7a7a20") / 2
