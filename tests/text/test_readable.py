"""Texts that nobody could read are told by what is in them; what languages are written with is left alone."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.text.readable import fault_in, quoted, sign_named, visible


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Green\x1b[2Jestate", "U+001B (control character)"),
        ("Green\x07", "U+0007 (control character)"),
        ("Green\nestate", "U+000A (control character)"),
        ("Green \u202eetatse", "U+202E (right-to-left override)"),
        ("\u2066Green\u2069", "U+2066 (left-to-right isolate)"),
        ("Green\ufeff", "U+FEFF (zero width no-break space)"),
        ("Green\u200bestate", "U+200B (zero width space)"),
        ("Green\u2028estate", "U+2028 (line separator)"),
        ("Green \ue123", "U+E123 (private sign)"),
        ("Green \u0378", "U+0378 (no sign at all)"),
        ("Green \U000e0041", "U+E0041 (tag latin capital letter a)"),
        ("Green \ud800", "U+D800 (half a sign)"),
        ("   ", "nothing but blanks"),
        ("\u00a0\u2003", "nothing but blanks"),
        ("\u200d\u200e", "nothing but blanks"),
        ("\u2800\u3164", "nothing but blanks"),
        ("Z" + "\u0300" * 9, "more than 4 marks stand on one letter"),
    ],
)
def test_what_nobody_could_read_is_told_by_its_code_and_name(text: str, words: str):
    assert words in fault_in(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Green estate, 2nd car (Bo’s)",
        "Grüner Kombi – links",
        "عربة خضراء",
        "می‌خواهم",
        "क्‍ष",
        "ירוק\u200f!",
        "緑のワゴン",
        "Việt Nam",
        "👩‍🔧",
    ],
)
def test_what_people_write_in_their_languages_is_left_alone(text: str):
    assert fault_in(text) == ""


def test_line_breaks_are_right_where_a_text_may_have_several_lines():
    assert fault_in("Cold rim.\n\tBrush.", one_line=False) == ""
    assert fault_in("Cold rim.\r", one_line=False)


@given(st.text(alphabet=st.characters()))
def test_what_is_found_fault_with_can_always_be_told_and_what_is_told_can_always_be_read(text: str):
    told = visible(text)
    assert all(unicodedata.category(c) not in ("Cc", "Cs", "Cn", "Co") or c == "\n" for c in told)
    told.encode()
    fault_in(text).encode()


def test_a_sign_is_quoted_where_it_can_be_seen_and_named_where_it_cannot():
    assert quoted("ö") == "'ö'"
    assert quoted(" ") == "U+0020 (space)"
    assert quoted("\x1c") == sign_named("\x1c") == "U+001C (control character)"
