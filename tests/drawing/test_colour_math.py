"""Contrast against the WCAG definition, and mixing."""

import pytest

from bayapp.drawing.colour_math import contrast, hex_of, mix, rgb


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


def test_mixing_ends_at_either_colour_and_writes_what_it_reads() -> None:
    assert mix("#123456", "#abcdef", 1) == "#123456"
    assert mix("#123456", "#abcdef", 0) == "#abcdef"
    assert hex_of(rgb("#09af7c")) == "#09af7c"
