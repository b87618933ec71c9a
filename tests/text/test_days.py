"""Days in words: one table of months for screen and paper."""

from datetime import date

import pytest

from bayapp.text.days import day_of_week, day_text, long_date, month_and_year, short_date


@pytest.mark.parametrize(("month", "name", "short"), [(3, "March", "Mar"), (5, "May", "May"), (9, "September", "Sep")])
def test_a_day_is_the_same_in_every_form(month: int, name: str, short: str):
    day = date(2026, month, 4)
    assert (short_date(day), day_text(day), month_and_year(day)) == (f"4 {short}", f"4 {short} 2026", f"{short} 2026")
    assert long_date(day).endswith(f", 4 {name} 2026")


def test_the_day_of_the_week_is_that_of_the_calendar():
    """25 November 2026 is a Wednesday (ISO 8601: day 3 of its week)."""
    assert date(2026, 11, 25).isoweekday() == 3
    assert (day_of_week(date(2026, 11, 25)), long_date(date(2026, 11, 25))) == (
        "Wed 25 Nov",
        "Wednesday, 25 November 2026",
    )
