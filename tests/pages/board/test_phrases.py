"""The cautions that the house promises, and reasons and notes that need no keyboard."""

import pytest

from bayapp.pages.board.phrases import cautions, notes, reasons

PROMISED = {
    "safety sheets, local rules and licence come first": ("safety sheet", "local rules", "licensed practice", "first"),
    "vapour and fire": ("vapour", "burns", "no flame", "no spark", "air the bay"),
    "vapour close to the panel": ("near the panel", "dizzy"),
    "gloves and eyes": ("gloves", "eye protection"),
    "towels that catch fire by themselves": ("towels", "closed metal can", "alone"),
    "steel wool": ("steel wool", "battery", "burns"),
    "hot exhaust": ("exhausts", "burn skin", "cold"),
    "noise": ("loud", "ear protection"),
    "lungs": ("dust", "spray", "mask", "supplied air"),
}


@pytest.mark.parametrize("hazard", PROMISED)
def test_every_caution_that_is_promised_is_said_in_one_sentence(hazard: str):
    assert [c for c in cautions() if all(word in c.lower() for word in PROMISED[hazard])], hazard


def test_the_safety_sheet_comes_first_of_all():
    assert "safety sheet" in cautions()[0]
    assert "first" in cautions()[0]


@pytest.mark.parametrize("phrases", [reasons, notes, cautions])
def test_phrases_are_different_and_fit_the_record(phrases):
    found = phrases()
    assert len(found) == len(set(found)) >= 6
    assert all(0 < len(phrase) <= 500 for phrase in found)
    assert all(phrase == phrase.strip() for phrase in found)
