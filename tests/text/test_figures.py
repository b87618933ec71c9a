"""Numbers, units and times of day: against published conversions and what CLDR says of locales."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.text import figures
from bayapp.text.figures import (
    DayClock,
    TemperatureUnit,
    Units,
    VolumeUnit,
    clock_time,
    day_of_month,
    figure,
    length_text,
    percent,
    short_figure,
    shown_temperature,
    shown_volume,
    temperature,
    typed_temperature,
    typed_volume,
    use_units,
    volume,
    warmth,
)

AMERICAN = Units(TemperatureUnit.FAHRENHEIT, VolumeUnit.FLUID_OUNCE, DayClock.HOURS_12)


@pytest.fixture(autouse=True)
def usual() -> Iterator[None]:
    yield
    use_units(Units())


def test_temperatures_in_both_units():
    """Fixed points of the Fahrenheit scale, 32 and 212 °F at 0 and 100 °C, and -40 where both agree (from memory)."""
    assert temperature(21) == "21.0 °C"
    use_units(AMERICAN)
    assert temperature(0) == "32.0 °F"
    assert temperature(100) == "212.0 °F"
    assert temperature(-40) == "-40.0 °F"
    assert warmth(3) == "5.4 °F"


def test_volumes_in_both_units():
    """A US gallon, 128 fluid ounces, is 3.785411784 litres exactly (NIST Handbook 44, appendix C; from memory)."""
    assert volume(120) == "120 ml"
    assert volume(2.5) == "2.5 ml"
    use_units(AMERICAN)
    assert shown_volume(3785.411784) == pytest.approx(128, rel=1e-12)
    assert volume(120) == "4.1 fl oz"


@given(st.floats(-40, 90))
def test_what_is_typed_is_what_was_shown(celsius: float):
    for chosen in (Units(), AMERICAN):
        use_units(chosen)
        assert typed_temperature(shown_temperature(celsius)) == pytest.approx(celsius, abs=1e-9)
        assert typed_volume(shown_volume(celsius)) == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize(
    ("hour", "text"), [(0, "12:05 am"), (1, "1:05 am"), (12, "12:05 pm"), (13, "1:05 pm"), (23, "11:05 pm")]
)
def test_the_twelve_hour_clock_has_no_hour_nought(hour: int, text: str):
    use_units(AMERICAN)
    assert clock_time(datetime(2026, 11, 25, hour, 5, tzinfo=UTC), UTC, seconds=False) == text


def test_the_twenty_four_hour_clock_is_the_usual_one():
    assert clock_time(datetime(2026, 11, 25, 14, 26, 10, tzinfo=UTC), UTC) == "14:26:10"


@pytest.mark.parametrize(
    ("tag", "number", "day"),
    [
        ("en", "1,234.5", "25 Nov"),
        ("de", "1.234,5", "25.11."),
        ("fr", "1\u202f234,5", "25/11"),
        ("sv", "1\xa0234,5", "25/11"),
    ],
)
def test_numbers_and_days_as_the_language_writes_them(monkeypatch: pytest.MonkeyPatch, tag: str, number: str, day: str):
    """Separators and orders of Unicode CLDR, which Babel carries."""
    monkeypatch.setattr(figures, "language", lambda: tag)
    assert figure(1234.5, 1) == number
    assert day_of_month(datetime(2026, 11, 25, 12, tzinfo=UTC), UTC) == day


@pytest.mark.parametrize("tag", ["en-XA", "ar-XB", "xx"])
def test_a_language_that_nobody_knows_is_written_all_the_same(monkeypatch: pytest.MonkeyPatch, tag: str):
    monkeypatch.setattr(figures, "language", lambda: tag)
    assert figure(2.5, 1) == "2.5"


def test_a_short_figure_has_the_decimals_it_needs():
    assert [short_figure(v) for v in (5, 2.5, 0.125, 1 / 3)] == ["5", "2.5", "0.125", "0.333"]


def test_nothing_is_written_as_minus_nought():
    assert figure(-0.04, 1) == "0.0"
    assert percent(48.4) == "48 %"


@pytest.mark.parametrize(("size", "text"), [(10, "1 kB"), (34_200, "34 kB"), (1_250_000, "1.2 MB")])
def test_sizes_are_given_in_the_units_of_the_si(size: int, text: str):
    assert figures.size_text(size) == text


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (timedelta(0), "less than a minute"),
        (timedelta(seconds=59), "less than a minute"),
        (timedelta(minutes=1), "1 min"),
        (timedelta(minutes=59, seconds=59), "59 min"),
        (timedelta(hours=1), "1 h 00"),
        (timedelta(hours=2, minutes=5), "2 h 05"),
        (timedelta(hours=23, minutes=59), "23 h 59"),
        (timedelta(days=1), "1 day"),
        (timedelta(days=1, hours=3, minutes=40), "1 day 3 h"),
        (timedelta(days=12, hours=1), "12 days 1 h"),
    ],
)
def test_a_length_of_time_never_reads_as_a_time_of_day(length: timedelta, text: str):
    assert length_text(length) == text
