"""Instants: UTC to the millisecond, as RFC 3339 writes them."""

import re
from datetime import UTC, datetime, timedelta
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, PlainSerializer

from bayapp.text.language import _

RFC_3339 = re.compile(r"\d{4}-\d{2}-\d{2}[Tt]\d{2}:\d{2}:\d{2}(\.\d+)?([Zz]|[+-]\d{2}:[0-5]\d)", re.ASCII)

EARLIEST, LATEST = datetime(1900, 1, 1, tzinfo=UTC), datetime(9899, 12, 31, 23, 59, 59, 999_000, tzinfo=UTC)
"""When work can be recorded: the calendar of the machine goes a century further, and waits are counted in it."""


def to_millisecond(moment: datetime) -> datetime:
    """Return the moment in UTC, rounded to the nearest millisecond.

    Raises:
        ValueError: the moment does not say its offset from UTC.
    """
    if moment.tzinfo is None:
        raise ValueError(_("the time has no offset from UTC; write e.g. 2026-11-25T08:00:00Z"))
    if moment.tzinfo is UTC and moment.microsecond % 1000 == 0:
        return moment  # as every entry of a journal is; there are many to read at the start
    utc = moment.astimezone(UTC)
    return utc.replace(microsecond=0) + timedelta(milliseconds=round(utc.microsecond / 1000))


def parse_instant(text: str) -> datetime:
    """Return the instant that an RFC 3339 date-time names.

    Stricter than ``datetime.fromisoformat``: a blank for the T and the unknown offset -00:00 are refused,
    lower-case t and z are taken. Python has no leap seconds, so a second of 60 is refused too.

    Raises:
        ValueError: not such a date-time; says what would be right.
    """
    if not RFC_3339.fullmatch(text) or text.endswith("-00:00"):
        raise ValueError(_("{text!r} is not a date and time; write e.g. 2026-11-25T08:00:00Z").format(text=text))
    try:
        return to_millisecond(datetime.fromisoformat(text.upper()))
    except (ValueError, OverflowError) as error:
        raise ValueError(
            _("{text!r} is no moment of the calendar ({error}); write e.g. 2026-11-25T08:00:00Z").format(
                text=text, error=error
            )
        ) from error


def write_instant(moment: datetime) -> str:
    """Return the instant as RFC 3339 text in UTC, always with three decimals."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def in_calendar(moment: datetime) -> datetime:
    """Return the moment where work can be recorded at it.

    Raises:
        ValueError: it lies so far off that no wait could be counted from it.
    """
    if EARLIEST <= moment <= LATEST:
        return moment
    raise ValueError(
        _("the year is {year}; work is recorded from {earliest} to {latest}").format(
            year=moment.year, earliest=EARLIEST.year, latest=LATEST.year
        )
    )


def _coerce(value: object) -> datetime:
    if isinstance(value, datetime):
        return to_millisecond(value)
    if isinstance(value, str):
        return parse_instant(value)
    raise ValueError(_("{value!r} is not a date and time; write e.g. 2026-11-25T08:00:00Z").format(value=value))


Instant = Annotated[
    datetime, BeforeValidator(_coerce), PlainSerializer(write_instant, return_type=str, when_used="json")
]
CalendarInstant = Annotated[Instant, AfterValidator(in_calendar)]
"""An instant at which work can be recorded."""
