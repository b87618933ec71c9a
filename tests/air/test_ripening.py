"""Ripening against closed forms, scipy's quad, and a slow exact walk that shares no code with it."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from bayapp.air import RuleOfThumb, SheetTable, opens_at
from bayapp.air.ripening import Curve, LatestMoment, Readings, lapse, opening, timed

T0 = datetime(2026, 11, 25, 8, tzinfo=UTC)
MS = timedelta(milliseconds=1)
Rows = tuple[tuple[int, int], ...]
"""°C and milliseconds."""
Read = list[tuple[int, int]]
"""Milliseconds and tenths of °C."""
Given = list[tuple[datetime, float]]
SHEET = SheetTable(((10, 8.0), (20, 5.0), (30, 3.0)))


def after(minutes: float) -> datetime:
    return T0 + MS * round(minutes * 60_000)


def latest(curve: Curve, since: datetime, readings: Readings) -> LatestMoment:
    return lapse(timed(curve, readings), curve.shortest, since)


def lapses_at(curve: Curve, since: datetime, readings: Readings) -> datetime:
    return latest(curve, since, readings).at


def unknown_since(curve: Curve, since: datetime, readings: Readings) -> datetime | None:
    return opening(timed(curve, readings), since).unknown_since


def minutes_of(moment: datetime | None) -> float:
    assert moment is not None
    return (moment - T0) / timedelta(minutes=1)


@pytest.mark.parametrize(
    ("air_c", "wait_min"), [(10, 8), (15, 6.5), (20, 5), (22.5, 4.5), (30, 3), (12.34, 7.298), (29.99, 3.002)]
)
def test_constant_air_is_the_plain_countdown_to_the_millisecond(air_c: float, wait_min: float) -> None:
    for readings in ([(T0, air_c)], [(T0 - timedelta(hours=3), air_c)], [(after(m / 7), air_c) for m in range(40)]):
        assert opens_at(SHEET, T0, readings) == after(wait_min)
        assert lapses_at(SHEET, T0, readings) == after(wait_min)


def test_one_step_of_temperature_is_worked_out_by_hand() -> None:
    """2 of 8 minutes at 10 °C are a quarter; three quarters of 3 minutes at 30 °C are 2 min 15 s more."""
    readings = [(T0, 10.0), (after(2), 30.0)]
    assert opens_at(SHEET, T0, readings) == after(4.25)


def test_it_opens_at_the_first_millisecond_at_which_the_fraction_is_1_and_lapses_at_the_last() -> None:
    """1 ms at 10 °C of 480 000, then 3 minutes at 30 °C less 180 000 / 480 000 = 0.375 ms: 180 000.625 ms in all."""
    readings = [(T0, 10.0), (T0 + MS, 30.0)]
    assert opens_at(SHEET, T0, readings) == T0 + 180_001 * MS
    assert lapses_at(SHEET, T0, readings) == T0 + 180_000 * MS


@pytest.mark.parametrize(("first_c", "last_c", "over_min"), [(10, 30, 12), (30, 10, 12), (12, 18, 7), (20, 29, 5)])
def test_a_finely_stepped_ramp_agrees_with_the_integral_by_quad(first_c: float, last_c: float, over_min: float) -> None:
    def air(minute: float) -> float:
        return first_c + (last_c - first_c) * min(minute / over_min, 1)

    def wait(minute: float) -> float:  # written out anew: the sheet's two straight lines
        t = air(minute)
        return 8 - 0.3 * (t - 10) if t <= 20 else 5 - 0.2 * (t - 20)

    def left(end: float) -> float:
        bends = [m for m in (over_min, abs((20 - first_c) / (last_c - first_c)) * over_min) if 0 < m < end]
        return float(quad(lambda m: 1 / wait(m), 0, end, points=bends or None, epsabs=1e-12)[0]) - 1

    exact = brentq(left, 0.1, 20, xtol=1e-12)
    steps = 20_000
    readings = [(after(over_min * i / steps), air(over_min * (i + 0.5) / steps)) for i in range(steps)]
    readings.append((after(over_min), last_c))
    assert abs(minutes_of(opens_at(SHEET, T0, readings)) - exact) * 60_000 < 1.5


def test_a_ramp_has_a_closed_form_where_the_wait_is_a_straight_line() -> None:
    """The integral of dt / (a - b t) from 0 is ln(a / (a - b t)) / b, which is 1 at t = a (1 - e^-b) / b."""
    a, b = 8.0, 0.3  # minutes at 10 °C; minutes less for each minute, at 1 °C a minute
    exact = a * (1 - exp(-b)) / b
    assert log(a / (a - b * exact)) / b == pytest.approx(1)
    readings = [(after(i / 1000), 10 + (i + 0.5) / 1000) for i in range(10_000)]
    assert abs(minutes_of(opens_at(SHEET, T0, readings)) - exact) * 60_000 < 1.5


def test_nothing_counts_before_the_first_reading_nor_outside_the_table() -> None:
    assert opens_at(SHEET, T0, []) is None
    assert opens_at(SHEET, T0, [(T0, 9.9)]) is None
    assert opens_at(SHEET, T0, [(T0, 30.1)]) is None
    assert opens_at(SHEET, T0, [(after(60), 20.0)]) == after(65)
    away = [(T0, 20.0), (after(1), 35.0), (after(31), 20.0)]
    assert opens_at(SHEET, T0, away) == after(35)
    assert opens_at(SHEET, T0, away[:2]) is None
    assert opens_at(SHEET, T0, [(T0, 20.0), (after(5), 35.0)]) == after(5), "it was over before"


def test_a_latest_moment_runs_fastest_while_the_air_is_unknown() -> None:
    """Unknown or outside counts as 3 of 3 minutes: 1.5 minutes are half, and half of 8 minutes are 4 more."""
    assert lapses_at(SHEET, T0, []) == after(3)
    assert lapses_at(SHEET, T0, [(T0, 5.0)]) == after(3)
    assert lapses_at(SHEET, T0, [(after(1.5), 10.0)]) == after(5.5)
    assert lapses_at(SHEET, T0, [(T0, 10.0), (after(4), 31.0)]) == after(5.5)


def test_it_tells_since_when_the_air_is_unknown() -> None:
    assert unknown_since(SHEET, T0, []) == T0
    assert unknown_since(SHEET, T0, [(after(-5), 40.0), (after(2), 45.0)]) == T0
    assert unknown_since(SHEET, T0, [(T0, 20.0), (after(2), 40.0), (after(3), 41.0)]) == after(2)
    assert unknown_since(SHEET, T0, [(T0, 40.0), (after(2), 20.0)]) is None
    assert latest(SHEET, T0, [(T0, 40.0), (after(2), 20.0)]).air_was_unknown
    assert not latest(SHEET, T0, [(T0, 20.0)]).air_was_unknown


@pytest.mark.parametrize("rows", [((10, 8.0),), ((20, 5.0), (10, 8.0)), ((10, 8.0), (10, 5.0)), ((10, 0.0), (20, 5.0))])
def test_a_table_that_cannot_be_is_refused(rows: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(ValueError, match="table"):
        SheetTable(rows)


@pytest.mark.parametrize(
    ("from_c", "to_c", "factor"),
    [(20, 25, 0.75), (20, 24, 2**-0.4), (20, 15, 1.414), (20, 10, 2.0), (23, 13, 2.0), (20, 30, 0.75), (20, 0, 2.5)],
)
def test_the_rule_of_thumb_doubles_for_ten_degrees_less_within_its_cap(
    from_c: float, to_c: float, factor: float
) -> None:
    """Q10 = 2 factors on time as engineering tables give them (0.707, 1.414, 2.000), cut to 0.75 and 2.5."""
    rule = RuleOfThumb(10.0, from_c)
    assert rule.factor(to_c) == pytest.approx(factor, abs=5e-4)
    assert rule.minutes_at(from_c) == 10.0
    assert opens_at(rule, T0, [(T0, from_c)]) == after(10)


def test_the_rule_of_thumb_does_not_reach_beyond_what_the_product_is_laid_at() -> None:
    rule = RuleOfThumb(10.0, 20, low=5, high=30)
    assert (rule.minutes_at(4.9), rule.minutes_at(30.1)) == (None, None)
    assert opens_at(rule, T0, [(T0, 4.0)]) is None


# Any random history, against a walk in exact fractions that was written without looking at the code under test.


@st.composite
def histories(draw: st.DrawFn) -> tuple[Rows, Read]:
    """A table in whole °C and milliseconds, and readings in milliseconds and tenths of °C."""
    values = sorted(draw(st.sets(st.integers(0, 40), min_size=2, max_size=5)))
    rows = tuple((value, draw(st.integers(1, 600_000))) for value in values)
    times = sorted(draw(st.lists(st.integers(-200_000, 900_000), max_size=25)))
    return rows, [(time, draw(st.integers(-20, 420))) for time in times]


def exact_wait(rows: Rows, tenths: int) -> Fraction | None:
    value = Fraction(tenths, 10)
    for (low, a), (high, b) in pairwise(rows):
        if low <= value <= high:
            return a + (b - a) * (value - low) / (high - low)
    return None


def share_until(rows: Rows, readings: Read, end: int, blind: Fraction) -> Fraction:
    """What has ripened by ``end`` (ms); ``blind`` is the rate where the wait is not known."""
    share = Fraction(0)
    for i in range(-1, len(readings)):
        begin = 0 if i < 0 else max(0, readings[i][0])
        stop = min(end, readings[i + 1][0] if i + 1 < len(readings) else end)
        if stop > begin:
            wait = None if i < 0 else exact_wait(rows, readings[i][1])
            share += (stop - begin) * (blind if wait is None else 1 / wait)
    return share


def as_given(rows: Rows, readings: Read) -> tuple[SheetTable, Given]:
    table = SheetTable(tuple((value, ms / 60_000) for value, ms in rows))
    return table, [(T0 + MS * time, tenths / 10) for time, tenths in readings]


@given(histories())
def test_it_never_opens_early_and_never_a_millisecond_later_than_it_could(
    history: tuple[Rows, Read],
) -> None:
    rows, readings = history
    opens = opens_at(*_with_start(*as_given(rows, readings)))
    if opens is None:
        held = exact_wait(rows, readings[-1][1]) if readings else None
        assert held is None
        assert share_until(rows, readings, max([0, *(t for t, _ in readings)]), Fraction(0)) < 1
        return
    ms = (opens - T0) // MS
    tiny = Fraction(1, 1000 * min(wait for _, wait in rows))  # a thousandth of a millisecond
    assert share_until(rows, readings, ms, Fraction(0)) >= 1 - tiny, "early"
    assert share_until(rows, readings, ms - 1, Fraction(0)) < 1, "a whole millisecond late"


@given(histories())
def test_a_latest_moment_is_never_given_too_late(
    history: tuple[Rows, Read],
) -> None:
    rows, readings = history
    lapses = lapses_at(*_with_start(*as_given(rows, readings)))
    ms, fastest = (lapses - T0) // MS, Fraction(1, min(wait for _, wait in rows))
    assert share_until(rows, readings, ms, fastest) <= 1 + fastest / 1000, "late"
    assert share_until(rows, readings, ms + 1, fastest) > 1, "a whole millisecond early"


@given(histories(), st.integers(1, 300_000))
def test_warmer_air_never_opens_later_where_the_table_falls(history: tuple[Rows, Read], more: int) -> None:
    rows, readings = history
    falling = tuple(zip((v for v, _ in rows), sorted((ms for _, ms in rows), reverse=True), strict=True))
    low, high = falling[0][0] * 10, falling[-1][0] * 10
    inside = [(time, min(max(tenths, low), high)) for time, tenths in readings]
    warmer = [(time, min(tenths + more % 50, high)) for time, tenths in inside]
    if readings:
        cold = opens_at(*_with_start(*as_given(falling, inside)))
        warm = opens_at(*_with_start(*as_given(falling, warmer)))
        assert cold is not None
        assert warm is not None
        assert warm <= cold


def _with_start(table: SheetTable, readings: list[tuple[datetime, float]]) -> tuple[SheetTable, datetime, Given]:
    return table, T0, readings
