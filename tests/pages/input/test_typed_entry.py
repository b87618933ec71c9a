"""Amounts, days and batches as they are typed with a glove."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.pages.input.typed_entry import ERASE, LETTERS, NUMBERS, SHIFT, SIGNS, Kind, Typing

KEYS = [*"".join((*NUMBERS, *LETTERS, *SIGNS)), ERASE, SHIFT]


def typed(kind: Kind, *keys: str) -> Typing:
    typing = Typing(kind, "")
    for key in keys:
        typing = typing.press(key)
    return typing


@pytest.mark.parametrize(
    ("keys", "number"),
    [
        ("31", 31.0),
        ("0.5", 0.5),
        ("007", 7.0),
        ("12.55", 12.5),
        ("123456", 12345.0),
        (".5", 5.0),
        ("1.", 1.0),
        ("", None),
    ],
)
def test_an_amount_is_read_as_typed(keys: str, number: float | None):
    typing = typed(Kind.ML, *keys)
    assert typing.number == number
    assert bool(typing.trouble()) is (number is None)


@pytest.mark.parametrize(
    ("keys", "day"),
    [
        ("20271231", date(2027, 12, 31)),
        ("202712", date(2027, 12, 31)),
        ("202802", date(2028, 2, 29)),
        ("20270229", None),
        ("20271301", None),
        ("202713", None),
        ("20270200", date(2027, 2, 28)),
        ("2027123", None),
        ("00000000", None),
    ],
)
def test_a_day_is_year_month_day_and_a_month_alone_its_last_day(keys: str, day: date | None):
    typing = typed(Kind.DAY, *keys)
    assert typing.day == day
    assert bool(typing.trouble()) is (day is None)


def test_a_day_is_shown_in_its_parts_and_said_in_words():
    assert typed(Kind.DAY, *"2027123").view().shown == "2027-12-3"
    assert typed(Kind.DAY, *"20271231").view().note == "Good until 31 Dec 2027."


def test_a_batch_takes_letters_digits_and_signs_and_no_more_than_a_label_has():
    typing = typed(Kind.BATCH, *"LOT", SHIFT, *"-7/A"[:3], ERASE)
    assert (typing.text, typing.view().keys) == ("LOT-7", SIGNS)
    assert len(typed(Kind.BATCH, *("A" * 30)).text) == 20


@given(st.sampled_from(list(Kind)), st.lists(st.sampled_from(KEYS), max_size=40))
def test_no_key_ever_breaks_it_and_what_can_be_taken_has_a_value(kind: Kind, keys: list[str]):
    typing = typed(kind, *keys)
    view = typing.view()
    if not view.trouble:
        assert typing.day is not None if kind is Kind.DAY else bool(typing.text)
        assert kind not in (Kind.ML, Kind.GRAMS) or typing.number is not None


def test_a_plain_number_is_checked_as_it_is_typed_and_may_be_left_empty_where_that_means_something():
    def too_little(number: float | None) -> str:
        return "too little" if number is not None and number < 5 else ""

    typing = Typing(Kind.NUMBER, "How long?", unit="min", check=too_little, may_be_empty=True)
    assert typing.trouble() == ""
    assert typing.press("4").trouble() == "too little"
    assert typing.press("4").press("5").trouble() == ""
    assert typing.press("4").press("5").number == 45.0
    assert typing.view().unit == "min"
    assert replace(typing, may_be_empty=False).trouble() == "Type a number."


@pytest.mark.parametrize(
    ("kind", "old", "shown"),
    [
        (Kind.ML, 31.46, "31.5"),
        (Kind.NUMBER, 60.0, "60"),
        (Kind.NUMBER, 0.0, "0"),
        (Kind.BATCH, "LOT-A7", "LOT-A7"),
        (Kind.DAY, date(2027, 12, 31), "2027-12-31"),
        (Kind.NUMBER, None, ""),
    ],
)
def test_a_keypad_opens_with_the_old_value(kind: Kind, old: float | str | date | None, shown: str):
    assert Typing(kind, "").opened_with(old).view().shown == shown


def test_the_first_key_replaces_the_old_value_and_erase_takes_its_last_character():
    opened = Typing(Kind.ML, "").opened_with(31.5)
    assert (opened.untouched, opened.number) == (True, 31.5)
    assert opened.press("4").press("2").number == 42.0
    assert opened.press(ERASE).press(ERASE).text == "31"
    assert not opened.press(ERASE).untouched
    batch = Typing(Kind.BATCH, "").opened_with("LOT-A7")
    assert batch.press(SHIFT).press(ERASE).press("9").text == "LOT-A9"
    assert batch.press("B").text == "B"


def test_a_plate_has_letters_on_one_page_of_keys_and_figures_on_the_other():
    typing = Typing(Kind.PLATE, "")
    letters, figures = ("".join(one.view().keys) for one in (typing, typing.press(SHIFT)))
    assert sorted(letters) == sorted("ABCDEFGHIJKLMNOPQRSTUVWXYZ-. ")
    assert sorted(figures) == sorted("0123456789-. ")
    assert typed(Kind.PLATE, *" BY-7 A.").text == "BY-7 A.", "a plate begins with no blank"


def test_a_plate_takes_twenty_characters_of_any_script_and_marks_on_a_letter_do_not_count():
    assert typed(Kind.PLATE, *("Ж" * 25)).text == "Ж" * 20
    marked = typed(Kind.PLATE, *("ก\u0e49" * 20))
    assert marked.text == "ก\u0e49" * 20
    assert marked.trouble() == ""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "One letter or figure at least."),
        ("   ", "One letter or figure at least."),
        ("\u3164", "shows nothing but blanks"),
        ("BY\u202e7", "right-to-left override"),
        ("BY\x077", "control character"),
    ],
)
def test_a_plate_that_nobody_could_read_is_refused_in_words(text: str, said: str):
    assert said in Typing(Kind.PLATE, "", text=text).trouble()


def test_a_plate_that_was_known_may_be_erased_and_recorded_empty():
    opened = Typing(Kind.PLATE, "", may_be_empty=True).opened_with("BY 7")
    assert opened.press(ERASE).text == "BY "
    assert opened.press(ERASE).press(ERASE).press(ERASE).press(ERASE).trouble() == ""


def test_a_mileage_has_up_to_seven_figures_and_no_decimals():
    assert typed(Kind.MILEAGE, *"088001").number == 88_001
    assert typed(Kind.MILEAGE, *"99999999").text == "9999999"
    assert typed(Kind.MILEAGE, *"12.5").text == "125"
    assert typed(Kind.MILEAGE).trouble() == "Type a number."
