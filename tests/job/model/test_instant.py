from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.job.model.instant import parse_instant, to_millisecond, write_instant

NAIVE = datetime(2100, 1, 1)  # noqa: DTZ001 - hypothesis and one test ask for a moment without an offset


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        # RFC 3339, section 5.8, examples.
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, UTC)),
        # RFC 3339, section 5.6: T and Z may be lower case.
        ("1985-04-12t23:20:50.52z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
        ("2024-02-29T23:59:59.999+23:59", datetime(2024, 2, 29, 0, 0, 59, 999_000, UTC)),
    ],
)
def test_instants_are_read_as_rfc_3339_writes_them(text, utc):
    assert parse_instant(text) == utc


@pytest.mark.parametrize(
    "text",
    [
        "1990-12-31T23:59:60Z",  # RFC 3339's leap second: Python's calendar has none
        "1990-12-31T15:59:60-08:00",
        "2026-11-25T08:00:00-00:00",  # the unknown offset
        "2026-11-25 08:00:00Z",
        "2026-11-25T08:00:00",
        "2026-11-25T08:00Z",
        "2026-11-25",
        "20261125T080000Z",
        "2026-11-25T08:00:00+0100",
        "2026-11-25T08:00:00+01:60",
        "2026-11-25T08:00:00+24:00",
        "2026-11-25T24:00:00Z",
        "2026-02-29T08:00:00Z",
        "2026-11-25T08:00:00Z\n",
        "\u0662\u0660\u0662\u0666-11-25T08:00:00Z",  # digits, but not ASCII ones
        "0001-01-01T00:00:00+01:00",
        "9999-12-31T23:59:59.9999Z",
        "",
    ],
)
def test_anything_else_is_refused_with_an_example_of_what_is_right(text):
    with pytest.raises(ValueError, match="2026-11-25T08:00:00Z") as refused:
        parse_instant(text)
    said = str(refused.value)
    assert said.startswith((f"{text!r} is not a date and time; ", f"{text!r} is no moment of the calendar ("))
    assert said.endswith("; write e.g. 2026-11-25T08:00:00Z")


def test_a_day_that_the_calendar_lacks_is_refused_with_what_the_calendar_says():
    with pytest.raises(ValueError, match="no moment of the calendar") as refused:
        parse_instant("2026-02-29T08:00:00Z")
    assert "(day is out of range for month)" in str(refused.value)


def test_a_moment_is_kept_to_the_nearest_millisecond_even_over_the_edge_of_a_second():
    base = datetime(2026, 11, 25, 8, 0, 59, tzinfo=UTC)
    assert to_millisecond(base.replace(microsecond=499)) == base
    assert to_millisecond(base.replace(microsecond=501)) == base + timedelta(milliseconds=1)
    assert to_millisecond(base.replace(microsecond=999_600)) == base + timedelta(seconds=1)


def test_a_moment_without_an_offset_is_refused():
    with pytest.raises(ValueError, match="offset from UTC"):
        to_millisecond(NAIVE)


def test_an_instant_is_written_in_utc_with_three_decimals():
    moment = datetime(2026, 11, 25, 9, 30, tzinfo=timezone(timedelta(hours=1)))
    assert write_instant(moment) == "2026-11-25T08:30:00.000Z"


@given(st.datetimes(min_value=NAIVE.replace(year=1970), max_value=NAIVE, timezones=st.timezones()))
def test_what_is_written_reads_back_to_the_same_millisecond(moment):
    assert parse_instant(write_instant(to_millisecond(moment))) == to_millisecond(moment)
