import pytest

from bayapp.air import ImpossibleAirError, Limits, assess
from bayapp.job.text.air_sentences import (
    advice_text,
    dew_point_text,
    hindrance_texts,
    impossible_text,
    margin_text,
)

COAT = Limits(air_c=(10, 30), surface_c=(10, 30), rh_percent=(30, 75))


@pytest.mark.parametrize(
    ("dew_c", "text"),
    [(9.27, "dew point of 9.3 °C"), (0.0, "dew point of 0.0 °C"), (-0.04, "frost point of 0.0 °C")],
)
def test_below_freezing_it_is_called_frost_point(dew_c, text):
    assert dew_point_text(dew_c) == text


@pytest.mark.parametrize(
    ("margin", "text"),
    [
        (10.73, "The surface is 10.7 °C above the dew point of 9.3 °C"),
        (0.04, "The surface is at the dew point of 9.3 °C"),
        (-1.27, "The surface is 1.3 °C below the dew point of 9.3 °C"),
    ],
)
def test_the_margin_is_written_with_one_decimal(margin, text):
    assert margin_text(margin, 9.27) == text


def test_a_margin_that_rounds_to_what_is_needed_is_not_written_as_if_it_were_enough():
    (sentence,) = hindrance_texts(assess(20, 50, assess(20, 50).dew_c + 2.97))
    assert sentence == (
        "The surface is 3.0 °C above the dew point of 9.3 °C, a little less than the 3.0 °C that a coat needs."
    )


@pytest.mark.parametrize(
    ("reading", "advice"),
    [
        ((20, 50, 8), "Warm the panel by 4.3 °C."),
        ((15, 85, None), "Dry the air to 75 %, or warm the air to 17.0 °C."),
        ((25, 50, 35), "Let the panel cool by 5.0 °C."),
        ((18, 80, 16), "Dry the air to 72 %, or warm the air to 19.1 °C and warm the panel by 1.6 °C."),
        ((33, 40, None), "Cool the air to 30.0 °C."),
        ((20, 20, None), "Moisten the air to 30 %."),
        ((3, 20, None), "Warm the air to 10.0 °C and moisten the air to 30 %."),
        ((20, 50, None), ""),
    ],
)
def test_what_would_make_it_fit_is_said_in_one_sentence(reading, advice):
    air_c, rh, surface_c = reading
    assert advice_text(assess(air_c, rh, surface_c, COAT)) == advice


@pytest.mark.parametrize(
    ("quantity", "value", "said"),
    [
        ("rh_percent", 120.5, "relative humidity is 120.5 %; it must be more than 0 and at most 100"),
        ("air_c", -101, "the air's temperature is -101 °C; it must be between -100 and 200"),
        ("surface_c", 201, "the surface's temperature is 201 °C; it must be between -100 and 200"),
    ],
)
def test_an_air_that_cannot_be_is_named_with_what_can(quantity, value, said):
    assert impossible_text(ImpossibleAirError(quantity, value)) == said


def test_where_nothing_helps_it_says_so():
    sentence = advice_text(assess(20, 70, 11, Limits(margin_k=5, surface_c=(10, 12), rh_percent=(80, 95))))
    assert sentence == "No change of air or panel is enough: the limits cannot all be kept."


def test_every_limit_that_is_broken_is_named_with_the_value():
    assert hindrance_texts(assess(5, 95, 4, COAT)) == (
        "The surface is 0.3 °C below the dew point of 4.3 °C; a coat needs 3.0 °C above it.",
        "The air is 5.0 °C; it must be 10 to 30 °C.",
        "The surface is 4.0 °C; it must be 10 to 30 °C.",
        "Humidity is 95.0 %; it must be 30 to 75 %.",
    )
