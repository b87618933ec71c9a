import math

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.air import ImpossibleAirError, assess, dew_point
from bayapp.air.dew import LOWEST_C

TEMPERATURES = st.floats(-40, 90)
HUMIDITIES = st.floats(0.1, 100)

# T °C, RH %. Computed with two independent formulas; the last column is what printed tables of the DIN 4108 type
# give, rounded to a tenth, from memory.
PRINTED = [
    (10, 50, 0.1),
    (10, 80, 6.7),
    (15, 60, 7.3),
    (15, 80, 11.6),
    (20, 40, 6.0),
    (20, 50, 9.3),
    (20, 60, 12.0),
    (25, 50, 13.9),
    (25, 60, 16.7),
    (25, 80, 21.3),
    (30, 30, 10.5),
    (30, 70, 23.9),
]
# CoolProp's HAPropsSI('Tdp', P=101325), an equation of state of humid air that shares no code with PsychroLib.
COOLPROP = [
    (10, 50, 0.064),
    (10, 85, 7.598),
    (15, 60, 7.308),
    (20, 40, 6.007),
    (20, 50, 9.274),
    (20, 60, 12.009),
    (20, 85, 17.403),
    (23, 50, 12.031),
    (25, 50, 13.867),
    (25, 60, 16.704),
    (25, 80, 21.311),
    (30, 30, 10.553),
    (30, 70, 23.931),
    (40, 20, 12.794),
    (5, 40, -6.638),
    (0, 90, -1.273),
]


def magnus_dew(air_c: float, rh_percent: float) -> float:
    """The Magnus formula over water with the coefficients of WMO / Sonntag 1990, as pvlib and bigleaf print them."""
    gamma = math.log(rh_percent / 100) + 17.62 * air_c / (243.12 + air_c)
    return 243.12 * gamma / (17.62 - gamma)


@pytest.mark.parametrize(("air_c", "rh", "printed"), PRINTED)
def test_dew_points_agree_with_printed_tables_of_the_din_4108_type_to_a_tenth(air_c, rh, printed):
    assert dew_point(air_c, rh) == pytest.approx(printed, abs=0.06)


@pytest.mark.parametrize(("air_c", "rh", "expected"), COOLPROP)
def test_dew_and_frost_points_agree_with_coolprop(air_c, rh, expected):
    assert dew_point(air_c, rh) == pytest.approx(expected, abs=0.015)


@pytest.mark.parametrize(("air_c", "rh"), [row[:2] for row in COOLPROP if row[2] > 0])
def test_above_freezing_the_magnus_formula_of_the_wmo_agrees_to_three_hundredths(air_c, rh):
    assert dew_point(air_c, rh) == pytest.approx(magnus_dew(air_c, rh), abs=0.03)


def test_metpys_documented_example_agrees():
    # MetPy, dewpoint_from_relative_humidity: 10 °C and 50 % give 0.047900916 °C, by Bolton's formula.
    assert dew_point(10, 50) == pytest.approx(0.0479, abs=0.03)


def test_below_freezing_it_is_the_frost_point_which_lies_above_the_dew_point_and_so_errs_to_the_careful_side():
    assert dew_point(5, 40) == pytest.approx(-6.637, abs=0.002)
    assert dew_point(5, 40) > magnus_dew(5, 40) + 0.8


@pytest.mark.parametrize(("celsius", "pascal"), [(5, 872.6), (25, 3169.7), (50, 12351.3)])
def test_the_air_in_which_it_condenses_has_the_saturation_pressure_of_the_ashrae_handbook(celsius, pascal):
    # ASHRAE Handbook of Fundamentals 2017, ch. 1, as PsychroLib's own tests assert it, to 0.03 %. Air of 60 °C that
    # holds just this vapour must begin to condense at that temperature.
    rh = 100 * pascal / psychrolib.GetSatVapPres(60)
    assert dew_point(60, rh) == pytest.approx(celsius, abs=0.01)


def test_the_ashrae_handbooks_first_example_has_a_dew_point_of_seven_degrees():
    # ASHRAE Fundamentals ch. 1, example 1: 40 °C dry, 20 °C wet bulb, 14 % humidity: dew point 7 ± 0.5 °C.
    rh = 100 * psychrolib.GetRelHumFromTWetBulb(40, 20, 101_325)
    assert rh == pytest.approx(14, abs=0.5)
    assert dew_point(40, rh) == pytest.approx(7, abs=0.5)


@pytest.mark.parametrize(
    ("air_c", "highest_rh"), [(10, 81.6), (15, 82.3), (20, 82.9), (23, 83.2), (25, 83.5), (30, 84.0)]
)
def test_a_panel_as_warm_as_the_air_has_three_degrees_of_margin_up_to_the_humidity_computed_elsewhere(
    air_c, highest_rh
):
    # Computed apart from this program, rounded to a tenth of a percent.
    assert air_c - dew_point(air_c, highest_rh - 0.1) > 3
    assert air_c - dew_point(air_c, highest_rh + 0.1) < 3


@given(TEMPERATURES, HUMIDITIES)
def test_the_dew_point_never_lies_above_the_air(air_c, rh):
    assert dew_point(air_c, rh) <= air_c


@given(TEMPERATURES)
def test_saturated_air_condenses_at_its_own_temperature(air_c):
    assert dew_point(air_c, 100) == pytest.approx(air_c, abs=0.002)


@given(TEMPERATURES, st.floats(0.1, 99), st.floats(0.5, 10))
def test_damper_air_condenses_sooner(air_c, rh, more):
    assert dew_point(air_c, min(100.0, rh + more)) > dew_point(air_c, rh)


@given(st.floats(-40, 85), HUMIDITIES, st.floats(0.5, 5))
def test_warmer_air_of_the_same_humidity_condenses_sooner(air_c, rh, more):
    assert dew_point(air_c + more, rh) > dew_point(air_c, rh)


@given(TEMPERATURES, st.floats(0, 100, exclude_min=True))
def test_every_humidity_that_a_reading_may_have_gets_an_answer(air_c, rh):
    assert LOWEST_C <= dew_point(air_c, rh) <= air_c


@pytest.mark.parametrize("air_c", [-100, 200])
def test_the_ends_of_the_formula_are_in_it(air_c):
    assert dew_point(air_c, 100) == pytest.approx(air_c, abs=0.01)


def test_what_is_refused_is_named_with_its_quantity_and_value():
    with pytest.raises(ImpossibleAirError) as humid:
        dew_point(20, 100.5)
    assert (humid.value.quantity, humid.value.value) == ("rh_percent", 100.5)
    assert str(humid.value) == "relative humidity is 100.5 %; it must be more than 0 and at most 100"
    with pytest.raises(ImpossibleAirError) as hot:
        dew_point(200.5, 50)
    assert (hot.value.quantity, hot.value.value) == ("air_c", 200.5)
    assert str(hot.value) == "the air's temperature is 200.5 °C; it must be between -100 and 200"
    with pytest.raises(ImpossibleAirError) as panel:
        assess(20, 50, -100.5)
    assert (panel.value.quantity, panel.value.value) == ("surface_c", -100.5)
    assert str(panel.value) == "the surface's temperature is -100.5 °C; it must be between -100 and 200"
    assert [assess(20, 50, surface).surface_c for surface in (-100, 200)] == [-100, 200]


@pytest.mark.parametrize("rh", [0, -1, 100.001, math.nan, math.inf])
def test_a_humidity_that_cannot_be_is_refused_with_what_would_be_right(rh):
    with pytest.raises(ValueError, match="more than 0 and at most 100"):
        dew_point(20, rh)


@pytest.mark.parametrize("air_c", [-100.1, 200.1, math.nan, math.inf, -math.inf])
def test_a_temperature_outside_the_formula_is_refused_with_what_would_be_right(air_c):
    with pytest.raises(ValueError, match="between -100 and 200"):
        dew_point(air_c, 50)
