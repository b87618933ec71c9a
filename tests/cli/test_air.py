import json

import pytest

from tests.cli.run import bayapp

# Dew points from a table of the DIN 4108 type, from memory, rounded to a tenth: air °C, humidity %, dew point °C.
PRINTED = [(10, 80, 6.7), (15, 60, 7.3), (20, 50, 9.3), (25, 60, 16.7), (30, 70, 23.9)]


def asked(*words: object) -> tuple[int, dict]:
    result = bayapp("air", *words, "--json")
    assert result.stderr == ""
    return result.exit_code, json.loads(result.stdout)


@pytest.mark.parametrize(("air_c", "rh", "dew"), PRINTED)
def test_the_dew_point_is_the_printed_tables(air_c, rh, dew):
    _, answer = asked("--air-c", air_c, "--rh-percent", rh)
    assert answer["dew_point_c"] == pytest.approx(dew, abs=0.06)
    assert answer["margin_c"] == pytest.approx(air_c - dew, abs=0.06)


def test_a_cold_panel_makes_the_answer_no_and_says_what_would_be_right():
    code, answer = asked("--air-c", 20, "--rh-percent", 50, "--surface-c", 8)
    assert (code, answer["fit_to_coat"]) == (1, False)
    assert answer["margin_c"] == pytest.approx(-1.27, abs=0.01)
    assert answer["warm_surface_by_c"] == 4.3
    assert answer["dry_air_to_percent"] == 37


def test_what_is_advised_makes_the_answer_yes():
    assert asked("--air-c", 20, "--rh-percent", 50, "--surface-c", 12.3)[0] == 0
    assert asked("--air-c", 20, "--rh-percent", 37, "--surface-c", 8)[0] == 0
    assert asked("--air-c", 20, "--rh-percent", 50, "--surface-c", 12.2)[0] == 1


def test_another_margin_may_be_asked_for():
    words = ("--air-c", 20, "--rh-percent", 60, "--surface-c", 16)
    assert asked(*words)[0] == 0
    assert asked(*words, "--margin-c", 5)[0] == 1


def test_for_people_it_says_why_not_and_what_to_do():
    result = bayapp("air", "--air-c", 20, "--rh-percent", 50, "--surface-c", 8)
    assert result.exit_code == 1
    assert result.stdout.splitlines()[:3] == [
        "Not right for coating.",
        "The surface is 1.3 °C below the dew point of 9.3 °C; a coat needs 3.0 °C above it.",
        "Warm the panel by 4.3 °C, or dry the air to 37 %.",
    ]


def test_for_people_below_freezing_it_is_a_frost_point():
    result = bayapp("air", "--air-c", 5, "--rh-percent", 40)
    assert result.exit_code == 0
    assert "above the frost point of -6.6 °C" in result.stdout
    assert "The panel was not read" in result.stdout


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("--air-c", 20, "--rh-percent", 0), "more than 0 and at most 100"),
        (("--air-c", 20, "--rh-percent", 100.5), "more than 0 and at most 100"),
        (("--air-c", "nan", "--rh-percent", 50), "between -100 and 200"),
        (("--air-c", 20, "--rh-percent", 50, "--surface-c", "inf"), "surface's temperature"),
        (("--air-c", 20, "--rh-percent", 50, "--margin-c", -1), "between 0 and 20"),
        (("--air-c", "warm", "--rh-percent", 50), "--air-c"),
        (("--rh-percent", 50), "--air-c"),
    ],
)
def test_bad_input_says_why_on_standard_error_and_prints_nothing(words, reason):
    result = bayapp("air", *words, "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    assert reason in result.stderr


def test_at_full_humidity_the_margin_is_not_below_nothing():
    for air_c in (-5, 0, 12.3, 20, 35):
        code, answer = asked("--air-c", air_c, "--rh-percent", 100)
        assert code == 1
        assert 0 <= answer["margin_c"] < 0.003
