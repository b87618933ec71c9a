"""What tells a car from others: any script, and nothing that nobody could read."""

import pytest
from pydantic import ValidationError

from bayapp.job.model.identity import Identity, Mileage, fault_in_plate

PLATES = ("BY 7", "Ж 123 ЖЖ", "品川 300 あ 12-34", "أ ب ج ١٢٣٤", "กข 1234", "ÅÖ-1", "A" * 20)


@pytest.mark.parametrize("plate", PLATES)
def test_a_plate_of_any_script_is_kept_as_it_stands(plate: str):
    assert Identity(plate=plate).plate == plate
    assert fault_in_plate(plate) == ""


def test_blanks_around_a_plate_go_and_letters_are_composed():
    assert Identity(plate="  A\u030a  7 ").plate == "Å 7"


@pytest.mark.parametrize(
    ("plate", "said"),
    [
        ("A" * 21, "it has 21 characters; at most 20 are kept"),
        ("BY\u202e7", "right-to-left override"),
        ("BY\n7", "U+000A"),
        (" \u2800 ", "nothing but blanks"),
        ("B" + "\u0301" * 5, "more than 4 marks"),
    ],
)
def test_a_plate_or_key_hook_that_nobody_could_read_is_refused_with_why(plate: str, said: str):
    for part in ("plate", "key_hook"):
        with pytest.raises(ValidationError, match="Value error") as refused:
            Identity.model_validate({part: plate})
        assert said in str(refused.value)


@pytest.mark.parametrize("figure", [-1, 10_000_000, 1.5, "12", True])
def test_a_mileage_is_a_whole_number_of_seven_figures(figure: object):
    with pytest.raises(ValidationError):
        Mileage.model_validate({"figure": figure})


def test_a_mileage_is_kept_in_the_unit_of_the_car():
    assert Mileage(figure=88_001, unit="mi").model_dump() == {"figure": 88_001, "unit": "mi"}


def test_at_most_twenty_wishes_are_kept_and_none_is_blank():
    assert len(Identity(wishes=tuple("abcdefghijklmnopqrst")).wishes) == 20
    for wishes in (tuple("abcdefghijklmnopqrstu"), ("",), ("   ",)):
        with pytest.raises(ValidationError):
            Identity(wishes=wishes)
