"""Colour difference and simulated colour blindness against the numbers their authors published."""

import csv
from pathlib import Path

import pytest

from bayapp.drawing.colour_math import rgb
from tests.drawing.support.colour_vision import Vision, difference, lab, perceived_difference, seen_by

SHARMA = Path(__file__).parents[2] / "data" / "ciede2000_sharma_2005.csv"


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


def test_red_and_green_lose_most_of_their_difference_for_a_deutan_eye() -> None:
    assert perceived_difference("#c04040", "#7a7a20", Vision.DEUTAN) < perceived_difference("#c04040", "#7a7a20") / 2
