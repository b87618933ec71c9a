"""The box against published examples. Propan-2-ol: 60.1 g/mol, 0.785 g/ml (CRC Handbook, from memory)."""

import re
from itertools import pairwise
from math import exp, inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from bayapp.air.vapour import (
    Room,
    VapourSource,
    air_changes_to_hold,
    average,
    level_after,
    level_at,
    mixture_share,
    molar_volume_l,
    purge_s,
    seconds_until,
    to_ppm,
)

IPA_G_MOL, IPA_G_ML = 60.1, 0.785
BAY = Room(200, 2)

ROOMS = st.builds(Room, st.floats(20, 2000), st.just(0.0) | st.floats(0.1, 30), st.floats(1, 10))
SOURCES = st.lists(
    st.tuples(st.floats(0, 20_000), st.just(0.0) | st.floats(1, 3600), st.floats(0, 1e6)).map(
        lambda t: VapourSource(t[0], t[0] + t[1], t[2])
    ),
    min_size=1,
    max_size=5,
)


@pytest.mark.parametrize(("ppm", "niosh"), [(400, 980), (500, 1225)])
def test_parts_per_million_and_milligrams_agree_with_the_niosh_pocket_guide(ppm, niosh):
    # NIOSH Pocket Guide, isopropyl alcohol: 400 ppm (980 mg/m³), short term 500 ppm (1225 mg/m³); rounded by NIOSH.
    assert to_ppm(niosh, IPA_G_MOL) == pytest.approx(ppm, rel=0.01)
    assert to_ppm(2.46, IPA_G_MOL) == pytest.approx(1, abs=0.002)  # the same guide's conversion


def test_a_mole_takes_24_465_litres_at_25_degrees_and_less_where_it_is_colder():
    # 24.45 l/mol is the customary rounded figure of industrial hygiene, 24.055 its value at 20 °C.
    assert molar_volume_l() == pytest.approx(24.465, abs=0.001)
    assert molar_volume_l(20) == pytest.approx(24.055, abs=0.001)


def fresh_air_m3_h(ml_per_h, g_per_ml, limit_ppm, mixing_k, air_c):
    """Return the fresh air that dilutes propan-2-ol to a limit, m³/h, as the program works it out."""
    limit_mg_m3 = limit_ppm / to_ppm(1, IPA_G_MOL, air_c)
    room = Room(200, 1, mixing_k)
    return air_changes_to_hold(room, ml_per_h * g_per_ml * 1000 / 3600, limit_mg_m3) * room.volume_m3


def test_the_published_worked_example_of_a_room_is_met_to_the_hundredth_second():
    """University of Southampton, edshare 5370: V 40 m³, G 1.2e-6 m³/s of CO, Q 3e-3 m³/s.

    C = 4.0e-4 (1 - exp(-7.5e-5 t)) reaches 1.2e-4 after about 1.3 h (4755.67 s).
    """
    room = Room(40, 3e-3 / 40 * 3600)
    assert room.flow_m3_s == pytest.approx(3e-3)
    assert seconds_until(room, 1.2e-4, 1.2e-6) == pytest.approx(4755.67, abs=0.005)
    assert level_after(room, 4755.67, 1.2e-6) == pytest.approx(1.2e-4, rel=1e-6)
    assert level_after(room, 1000, 1.2e-6) == pytest.approx(4.0e-4 * (1 - exp(-7.5e-5 * 1000)))
    assert seconds_until(room, 4.0e-4, 1.2e-6) is None
    assert seconds_until(room, 5.0e-4, 1.2e-6) is None


def test_a_room_of_100_m3_rises_and_falls_as_computed_elsewhere():
    # V 100 m³, Q 5 m³/min, G 1000 mg/min: the textbook formula evaluated apart from this program.
    room = Room(100, 3)
    for minutes, level in ((10, 78.694), (20, 126.424), (60, 190.043)):
        assert level_after(room, minutes * 60, 1000 / 60) == pytest.approx(level, abs=5e-4)
    assert level_after(room, 20 * 60, 0, start=200) == pytest.approx(73.576, abs=5e-4)


@pytest.mark.parametrize(("ml", "ppm"), [(10, 15.97), (50, 79.84), (100, 159.68)])
def test_spirit_spilt_in_a_bay_of_200_m3_gives_the_parts_per_million_computed_elsewhere(ml, ppm):
    spill = [VapourSource(0, 0, ml * IPA_G_ML * 1000)]
    assert to_ppm(level_at(Room(200, 0), spill, 0), IPA_G_MOL) == pytest.approx(ppm, rel=1e-3)


def test_two_millilitres_a_minute_in_a_bay_of_200_m3_give_the_course_computed_elsewhere():
    steady = [VapourSource(0, 1e9, 2 * IPA_G_ML * 1000 / 60 * 1e9)]
    for minutes, ppm in ((10, 27.16), (30, 60.56), (60, 82.84), (100_000, 95.81)):
        assert to_ppm(level_at(BAY, steady, minutes * 60), IPA_G_MOL) == pytest.approx(ppm, rel=1e-3)


def test_a_quarter_is_left_after_the_published_purge_time():
    # t = (V/Q) ln(C1/C2): two air changes an hour clear to a quarter in 41.59 min.
    assert purge_s(BAY, 800, 200) == pytest.approx(41.59 * 60, abs=0.5)
    assert purge_s(BAY, 100, 200) == 0
    assert purge_s(Room(200, 0), 800, 200) is None
    assert purge_s(Room(200, 2, 5), 800, 200) == pytest.approx(5 * 41.59 * 60, abs=2.5)


def test_dilution_ventilation_agrees_with_the_american_handbook_form():
    """Univ. of Toledo's collection: Q[cfm] = 403e6 SG ER[pint/min] / (MW C[ppm]) times K; 1 pint/h gives 1103.6 cfm."""
    pint_l, cubic_foot_m3 = 0.473176473, 0.028316846592
    handbook = 403e6 * 0.79 * (1 / 60) / (60.1 * 400) * 5
    assert handbook == pytest.approx(1103.6, abs=0.1)
    ours = fresh_air_m3_h(pint_l * 1000, 0.79, 400, 5, air_c=21.1) / 60 / cubic_foot_m3  # 403 is for 70 °F
    assert ours == pytest.approx(handbook, rel=0.005)


@pytest.mark.parametrize(("air_c", "m3_h"), [(20, 3927.7), (25, 3994.7)])
def test_a_litre_an_hour_needs_the_fresh_air_computed_elsewhere(air_c, m3_h):
    assert fresh_air_m3_h(1000, IPA_G_ML, 400, 5, air_c) == pytest.approx(m3_h, rel=2e-4)


def test_a_mixture_is_too_strong_when_its_shares_come_to_more_than_one():
    assert mixture_share([(100, 200), (60, 100)]) == pytest.approx(1.1)
    assert mixture_share([]) == 0


@given(ROOMS, SOURCES, st.floats(0, 40_000))
def test_what_is_in_the_room_and_what_has_left_is_what_has_evaporated(room, sources, at):
    """Mass balance by plain sums over many short steps, which know no exponential."""
    present = level_at(room, sources, at) * room.volume_m3
    given_off = sum(
        s.amount * (1 if at >= s.ends_s else (at - s.begins_s) / (s.ends_s - s.begins_s))
        for s in sources
        if s.begins_s <= at
    )
    left = average(room, sources, 0, at) * at * room.flow_m3_s
    assert present + left == pytest.approx(given_off, rel=1e-6, abs=1e-3)
    assert present >= 0


def test_the_course_and_the_average_agree_with_scipys_integration():
    room = Room(120, 4, 3)
    sources = [VapourSource(600, 900, 40_000), VapourSource(800, 2000, 25_000), VapourSource(3000, 3600, 10_000)]

    def change(t, c):
        given = sum(s.amount / (s.ends_s - s.begins_s) for s in sources if s.begins_s <= t < s.ends_s)
        return [(given - room.flow_m3_s * c[0]) / room.volume_m3]

    times = np.linspace(0, 7200, 145)
    found = solve_ivp(change, (0, 7200), [0.0], t_eval=times, max_step=5, rtol=1e-8, atol=1e-8).y[0]
    ours = np.array([level_at(room, sources, t) for t in times])
    assert np.max(np.abs(ours - found)) < 0.005 * found.max()
    assert average(room, sources, 900, 1800) == pytest.approx(np.trapezoid(found[18:37], times[18:37]) / 900, rel=0.005)


def test_the_moment_a_source_ends_all_that_it_gave_off_and_that_has_not_left_is_there():
    """A room aired once a second: C = G/Q (1 - exp(-Qt/V)), then it falls by exp(-t)."""
    room, source = Room(1, 3600, 1), VapourSource(0, 2, 2)
    assert level_at(room, [source], 2) == pytest.approx(1 - exp(-2))
    assert level_at(room, [source], 2.5) == pytest.approx((1 - exp(-2)) * exp(-0.5))
    assert level_at(room, [source], -0.001) == 0


def test_without_fresh_air_nothing_leaves():
    room, source = Room(50, 0), [VapourSource(0, 100, 5000)]
    assert level_at(room, source, 50) == 50
    assert level_at(room, source, 1e6) == 100
    assert average(room, source, 0, 100) == pytest.approx(50)
    assert average(room, source, 100, 300) == pytest.approx(100)
    assert seconds_until(room, 50, 50) == pytest.approx(50)


@given(st.floats(20, 2000), st.floats(1, 10), st.floats(1, 1e4), st.floats(50, 1000))
def test_the_air_changes_that_hold_a_limit_hold_it_in_the_long_run(volume, k, per_s, limit):
    needed = air_changes_to_hold(Room(volume, 1, k), per_s, limit)
    assert level_after(Room(volume, needed, k), 1e9, per_s) == pytest.approx(limit, rel=1e-6)


@given(ROOMS, st.floats(0, 1e4))
def test_vapour_only_thins_out_when_nothing_more_evaporates(room, level):
    levels = [level_after(room, s, 0, level) for s in (0, 60, 600, 6000)]
    assert all(a >= b for a, b in pairwise(levels))


@pytest.mark.parametrize(
    ("volume", "changes", "k", "says"),
    [
        (0, 2, 1, "the room holds 0 m³; it must be more than 0"),
        (-5, 2, 1, "the room holds -5 m³; it must be more than 0"),
        (inf, 2, 1, "the room holds inf m³; it must be more than 0"),
        (100, -1, 1, "-1 air changes an hour cannot be; 0 or more can"),
        (100, inf, 1, "inf air changes an hour cannot be; 0 or more can"),
        (100, 2, 0.5, "K for poor mixing is 0.5; 1 is perfect mixing, and it is never less"),
        (100, 2, inf, "K for poor mixing is inf; 1 is perfect mixing, and it is never less"),
    ],
)
def test_a_room_that_cannot_be_is_refused(volume, changes, k, says):
    with pytest.raises(ValueError, match=f"^{re.escape(says)}$"):
        Room(volume, changes, k)
