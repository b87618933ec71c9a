"""Hours on the time line: even, few enough, and true to the local clock on the days when it is changed.

The changes of the clock are those of the IANA time zone database: in Berlin 2026-03-29 01:00 UTC (02:00 becomes 03:00)
and 2026-10-25 01:00 UTC (03:00 becomes 02:00); Lord Howe Island is moved by half an hour.
"""

from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from bayapp.pages.plan.plan_ticks import STEPS, ticks

BERLIN = ZoneInfo("Europe/Berlin")
NINE = datetime(2026, 3, 2, 9, 0, 0, 123_000, tzinfo=UTC)


def words(begins: datetime, hours: float, most: int, tz: object = UTC) -> list[str]:
    return [t.words for t in ticks(begins, begins + timedelta(hours=hours), most, tz)]  # type: ignore[arg-type]


def test_ticks_are_whole_quarters_and_hours_of_the_local_clock():
    assert words(NINE, 1, 4) == ["09:15", "09:30", "09:45", "10:00"]
    assert words(NINE, 8, 4) == ["10:00", "12:00", "14:00", "16:00"]
    assert words(NINE, 0.5, 6, timezone(timedelta(hours=5, minutes=45))) == [
        "14:50", "14:55", "15:00", "15:05", "15:10", "15:15",
    ]  # fmt: skip
    assert words(NINE, 3, 3, ZoneInfo("Asia/Kathmandu")) == ["15:00", "16:00", "17:00"]


def test_midnight_bears_the_date():
    assert words(NINE + timedelta(hours=12), 9, 4) == ["3 Mar", "03:00", "06:00"]


@pytest.mark.parametrize("most", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("hours", [0.2, 1, 3, 13, 47, 200])
def test_there_are_never_more_than_fit(hours: float, most: int):
    found = ticks(NINE, NINE + timedelta(hours=hours), most, BERLIN)
    room = max(most, hours / 24) + 1
    assert len(found) <= room
    assert all(NINE <= t.at <= NINE + timedelta(hours=hours) for t in found)


def test_when_the_clock_is_put_forward_the_hour_that_is_missing_has_no_tick():
    assert words(datetime(2026, 3, 28, 23, 30, tzinfo=UTC), 4, 5, BERLIN) == ["01:00", "03:00", "04:00", "05:00"]


def test_when_the_clock_is_put_back_the_hour_comes_twice_an_hour_apart():
    begins = datetime(2026, 10, 24, 22, 30, tzinfo=UTC)
    found = ticks(begins, begins + timedelta(hours=4), 5, BERLIN)
    assert [t.words for t in found] == ["01:00", "02:00", "02:00", "03:00"]
    assert {b.at - a.at for a, b in pairwise(found)} == {timedelta(hours=1)}


def test_a_clock_moved_by_half_an_hour_keeps_its_ticks_on_the_hour():
    begins = datetime(2026, 4, 4, 13, 0, tzinfo=UTC)  # 02:00 at +11:00 becomes 01:30 at +10:30 at 15:00 UTC
    found = words(begins, 4, 5, ZoneInfo("Australia/Lord_Howe"))
    assert found == ["5 Apr", "01:00", "02:00", "03:00"]


def test_steps_are_such_as_are_read_off_without_reckoning():
    assert all(60 % s == 0 or s % 60 == 0 for s in STEPS)
