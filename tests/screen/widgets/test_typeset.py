"""Words fitted into boxes: as large as asked where they fit, condensed, wrapped, smaller, but never cut off."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtGui import QFontMetricsF

from bayapp.drawing.lettering import FAMILY
from bayapp.screen.widgets.typeset import CONDENSED, cap_font, fit, lines_needed, wrapped

WORDS = st.lists(st.text("abcdefghijklmnopqrstuvwxyzäöüABCW", min_size=1, max_size=14), min_size=1, max_size=9)


def cap(text: str, width: float, height: float, asked: float, lines: int = 2) -> tuple[float, int, str]:
    font, rows = fit(text, width, height, asked, True, lines)
    return QFontMetricsF(font).capHeight(), len(rows), font.family()


@pytest.mark.parametrize("asked", [12.0, 18.2, 33.0, 64.4, 90.0])
def test_capitals_are_as_tall_as_asked_to_the_half_pixel_of_a_font(asked: float):
    assert QFontMetricsF(cap_font(asked)).capHeight() == pytest.approx(asked, abs=0.75)


def test_a_short_word_is_set_as_large_as_asked():
    tall, rows, _ = cap("Bonnet", 600, 200, 33)
    assert (round(tall), rows) == (33, 1)


def test_quiet_words_are_condensed_before_they_are_made_smaller():
    """Measured: the condensed face is 5 % narrower in the regular weight, and 8 % wider in bold, where it helps not."""
    text = "Rear right caliper"
    usual, narrow = (QFontMetricsF(cap_font(33, False, f)).horizontalAdvance(text) for f in (FAMILY, CONDENSED))
    assert narrow < usual
    font, rows = fit(text, narrow + 1, 60, 33, False, 1)
    assert (font.family(), rows) == (CONDENSED, (text,))
    assert QFontMetricsF(font).capHeight() == QFontMetricsF(cap_font(33, False, CONDENSED)).capHeight()


def test_then_it_is_wrapped_where_there_is_room_for_two_lines():
    assert cap("Rear right caliper", 200, 200, 33)[1] == 2


@pytest.mark.parametrize(("text", "whole"), [("Hold for 2 s: withdraw", "2 s:"), ("open for 1 h 05 more", "1 h 05")])
def test_a_number_is_never_parted_from_its_unit(text: str, whole: str):
    font = cap_font(20)
    rows = [wrapped(text, font, float(width), 6) for width in range(10, 400)]
    assert any(found and len(found) > 2 for found in rows), "it was wrapped at all"
    assert all(any(whole in row for row in found) for found in rows if found)


def test_the_lines_that_a_text_needs_are_told_and_where_these_are_too_many():
    text = "Solvent vapour burns: no flame, spark, heater or smoking; air the bay."
    assert [lines_needed(text, width, 20, False, 3) for width in (3_000, 600, 400, 60)] == [1, 2, 3, None]


def test_then_it_is_made_smaller_and_never_below_half():
    tall, _, _ = cap("Front left headlamp and eleven more zones of the car", 300, 50, 33)
    assert 33 * 0.49 <= tall < 33


@settings(max_examples=150, deadline=None)
@given(words=WORDS, width=st.integers(150, 900), height=st.integers(30, 200), asked=st.integers(12, 60))
def test_no_word_is_lost_and_no_row_is_wider_than_its_box(words: list[str], width: int, height: int, asked: int):
    text = " ".join(words)
    font, rows = fit(text, width, height, asked, True, 2)
    assert " ".join(rows) == text
    metrics = QFontMetricsF(font)
    smallest = metrics.capHeight() <= asked * 0.5 + 1
    for row in rows:
        assert metrics.horizontalAdvance(row) <= width or smallest
