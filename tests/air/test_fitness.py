import math
from dataclasses import replace

import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from bayapp.air import Hindrance, Limits, Remedy, assess, dampest_allowed, dew_point

AIRS = st.floats(-20, 45)
HUMIDITIES = st.floats(1, 100)
SURFACES = st.none() | st.floats(-20, 60)
COAT = Limits(air_c=(10, 30), surface_c=(10, 30), rh_percent=(30, 75))


def spans(low: float, high: float) -> st.SearchStrategy[tuple[float, float] | None]:
    pair = st.tuples(st.floats(low, high), st.floats(low, high)).map(lambda p: (min(p), max(p)))
    return st.none() | pair


LIMITS = st.builds(Limits, st.floats(0, 6), spans(0, 40), spans(0, 40), spans(5, 95))


@pytest.mark.parametrize("air_c", [5, 10, 20, 30, 40])
@pytest.mark.parametrize("rh", [20, 50, 80, 95])
def test_dew_and_frost_points_agree_with_coolprop_asked_now(air_c, rh):
    """CoolProp's humid air (Herrmann, Kretzschmar and Gatley's virial equations) shares no code with PsychroLib."""
    expected = HAPropsSI("Tdp", "T", air_c + 273.15, "R", rh / 100, "P", 101_325) - 273.15
    assert assess(air_c, rh).dew_c == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("air_c", "surface_c"), [(20, 12), (20, 20), (25, 18), (10, 10), (30, 22.5)])
def test_air_as_damp_as_is_allowed_has_by_coolprop_its_dew_point_three_kelvin_below_the_surface(air_c, surface_c):
    rh = dampest_allowed(air_c, surface_c)
    dew = HAPropsSI("Tdp", "T", air_c + 273.15, "R", rh / 100, "P", 101_325) - 273.15
    assert surface_c - dew == pytest.approx(3, abs=0.02)


@pytest.mark.parametrize(
    ("air_c", "highest_rh"), [(10, 81.6), (15, 82.3), (20, 82.9), (23, 83.2), (25, 83.5), (30, 84.0)]
)
def test_the_highest_humidity_for_a_panel_as_warm_as_the_air_is_the_one_computed_elsewhere(air_c, highest_rh):
    # Computed apart from this program, rounded to a tenth of a percent.
    assert dampest_allowed(air_c, air_c) == pytest.approx(highest_rh, abs=0.06)


@pytest.mark.parametrize(("air_c", "rh", "coldest"), [(20, 60, 15.0), (20, 85, 20.4), (25, 80, 24.3), (10, 85, 10.6)])
def test_the_coldest_panel_three_kelvin_above_the_dew_point_is_the_one_computed_elsewhere(air_c, rh, coldest):
    assert not assess(air_c, rh, coldest - 0.06).fit
    assert assess(air_c, rh, coldest + 0.06).fit


def test_a_cold_car_in_a_warm_bay_is_wet_already_and_it_says_how_much_warmer_it_must_get():
    """A panel of 8 °C in air of 20 °C and 50 % (dew point 9.3 °C) lies below the dew point."""
    cold = assess(20, 50, 8)
    assert cold.hindrances == (Hindrance.DEW_POINT,)
    assert cold.margin_k == pytest.approx(-1.27, abs=0.02)
    # 3 K - (8 - 9.27) K, up to the next tenth; or air whose dew point is 5 °C: 872.6 Pa of 2338.8 Pa (ASHRAE) is 37 %.
    assert cold.remedies() == (Remedy(surface_by_k=4.3), Remedy(rh_to_percent=37.0))


def test_damp_air_is_made_fit_by_drying_it_or_by_warming_it():
    damp = assess(15, 85, None, COAT)
    assert damp.hindrances == (Hindrance.DEW_POINT, Hindrance.HUMIDITY)
    drier, warmer = damp.remedies()
    assert drier == Remedy(rh_to_percent=75.0)
    # The water of 15 °C and 85 % makes 75 % at 17.0 °C, by CoolProp.
    pressure = HAPropsSI("P_w", "T", 288.15, "R", 0.85, "P", 101_325)
    assert warmer.air_to_c
    rh = HAPropsSI("R", "T", warmer.air_to_c + 273.15, "P_w", pressure, "P", 101_325)
    assert 0.744 < rh <= 0.7501


def test_cold_air_and_a_cold_panel_are_warmed_both():
    assert assess(5, 60, 4, COAT).remedies() == (Remedy(air_to_c=10.0, surface_by_k=6.0),)


def test_air_too_dry_for_whole_per_cents_is_given_to_the_hundredth_and_rounded_to_the_drier_side():
    found = [assess(20, 50, surface).remedies()[1].rh_to_percent for surface in (-45, -40, -35, -30)]
    # By PsychroLib at most 0.2151, 0.3894, 0.6874 and 1.1850 % leave the panel 3 K above the frost point.
    assert found == [0.21, 0.38, 0.68, 1.0]


def test_a_panel_that_was_not_read_stays_so_while_the_air_alone_is_changed():
    damp = assess(15, 85, None, COAT)
    assert not damp.after(Remedy(air_to_c=17)).surface_read
    assert damp.after(Remedy(air_to_c=17)).surface_c == 17
    assert damp.after(Remedy(surface_by_k=2)).surface_read
    assert damp.after(Remedy(surface_by_k=2)).surface_c == 17
    assert assess(15, 85, 14, COAT).after(Remedy(air_to_c=17)).surface_c == 14


def test_where_no_single_change_is_enough_all_are_said_together():
    """Cold dry air of 3 °C and 20 % is warmed to 10 °C, where its water makes less: it must be moistened, too."""
    assert assess(3, 20, None, COAT).remedies() == (Remedy(air_to_c=10, rh_to_percent=30.0),)


def test_a_panel_hot_from_the_sun_is_left_to_cool():
    assert assess(25, 50, 35, COAT).remedies() == (Remedy(surface_by_k=-5.0),)


def test_a_panel_that_was_not_read_is_warmed_into_its_limits_with_the_air():
    cold = assess(12, 40, None, Limits(3.0, (10, 30), (15, 30), (30, 75)))
    assert cold.hindrances == (Hindrance.SURFACE,)
    assert cold.remedies() == (Remedy(surface_by_k=3.0), Remedy(air_to_c=15.0))


def test_a_panel_far_warmer_than_the_air_allows_every_humidity():
    assert dampest_allowed(20, 40) == 100
    assert dampest_allowed(20, 23) == 100
    assert 99.9 < dampest_allowed(20, 22.999) < 100


def test_what_no_change_of_the_air_can_mend_has_no_remedy():
    never = Limits(margin_k=5, surface_c=(10, 12), rh_percent=(80, 95))
    assert assess(20, 70, 11, never).remedies() == ()


def test_edges_are_fit():
    limits = Limits(3.0, (10, 30), (12, 28), (30, 75))
    assert assess(10, 30, 12, limits).fit
    assert assess(30, 30, 28, limits).fit
    assert assess(20, 50, dew_point(20, 50) + 3).fit
    assert not assess(20, 50, dew_point(20, 50) + 2.99).fit


def test_below_freezing_it_is_a_frost_point():
    assert assess(5, 40).frost
    assert not assess(20, 50).frost
    assert not replace(assess(20, 50), dew_c=0.0).frost, "at 0 °C it is a dew point"


@pytest.mark.parametrize(("surface_c", "by_k"), [(35.33, -5.4), (35.37, -5.4), (9.97, 0.1), (9.63, 0.4)])
def test_a_panel_is_warmed_or_cooled_by_so_many_tenths_that_it_is_enough(surface_c, by_k):
    assert assess(20, 30, surface_c, COAT).remedies() == (Remedy(surface_by_k=by_k),)


@given(AIRS, HUMIDITIES, SURFACES, LIMITS)
def test_whatever_is_advised_makes_it_fit_by_the_dew_point_found_anew(air_c, rh, surface_c, limits):
    now = assess(air_c, rh, surface_c, limits)
    assert now.fit == (not now.hindrances)
    for remedy in now.remedies():
        assert not now.fit
        then = now.after(remedy)
        assert then.surface_c - dew_point(then.air_c, then.rh_percent) >= limits.margin_k - 1e-6
        for value, span in (
            (then.air_c, limits.air_c),
            (then.surface_c, limits.surface_c),
            (then.rh_percent, limits.rh_percent),
        ):
            assert span is None or span[0] <= value <= span[1]


@given(AIRS, HUMIDITIES, st.floats(-20, 45))
def test_a_panel_warmed_by_less_than_advised_is_not_fit_yet(air_c, rh, surface_c):
    now = assess(air_c, rh, surface_c)
    by = [r.surface_by_k for r in now.remedies() if r.surface_by_k and r.air_to_c is None]
    assert now.fit or by
    for needed in by:
        assert not assess(air_c, rh, surface_c + needed - 0.11).fit


@given(AIRS, HUMIDITIES, st.floats(-20, 45))
def test_air_less_dry_than_advised_is_not_fit_yet(air_c, rh, surface_c):
    now = assess(air_c, rh, surface_c)
    for remedy in now.remedies():
        if remedy.rh_to_percent and remedy.rh_to_percent >= 1:
            assert not assess(air_c, min(100.0, remedy.rh_to_percent + 1.05), surface_c).fit


@given(st.floats(0, 40), st.floats(0, 40), st.floats(0, 6))
def test_the_dampest_air_allowed_is_the_inverse_of_the_dew_point(air_c, surface_c, margin_k):
    rh = dampest_allowed(air_c, surface_c, margin_k)
    assume(0.5 < rh < 100)
    assert dew_point(air_c, rh) == pytest.approx(surface_c - margin_k, abs=0.003)


@given(AIRS, HUMIDITIES, st.floats(0.5, 15))
def test_warming_the_air_leaves_its_water_in_it(air_c, rh, by):
    now = assess(air_c, rh)
    assert now.after(Remedy(air_to_c=air_c + by)).dew_c == pytest.approx(now.dew_c, abs=0.003)


def test_the_water_in_warmed_air_is_that_of_the_ashrae_handbook():
    # ASHRAE Fundamentals 2017, ch. 1, as PsychroLib's own tests assert it: pws(5) = 872.6 Pa, pws(25) = 3169.7 Pa.
    assert psychrolib.GetSatVapPres(5) == pytest.approx(872.6, rel=3e-4)
    assert assess(5, 100).after(Remedy(air_to_c=25)).rh_percent == pytest.approx(100 * 872.6 / 3169.7, rel=6e-4)


@pytest.mark.parametrize("surface", [math.nan, math.inf, -100.1, 200.1])
def test_a_surface_that_cannot_be_is_refused(surface):
    with pytest.raises(ValueError, match="surface's temperature"):
        assess(20, 50, surface)


@pytest.mark.parametrize("rh", [5e-324, 1e-310, 1e-300])
@pytest.mark.parametrize("air_c", [-40.0, 20.0, 90.0])
def test_what_would_help_is_found_in_air_without_any_water(rh, air_c):
    """Warmed, the last of it was rounded away, and air of 0 % has no dew point."""
    now = assess(air_c, rh, limits=Limits(3.0, (25, 30), None, (30.0, 70.0)))
    assert not now.fit
    assert all(now.after(remedy).fit for remedy in now.remedies())
