"""Working hours as people write them: "08:00-12:30"."""

import re
from datetime import time
from itertools import pairwise
from typing import NamedTuple

from bayapp.files.validation_messages import shown
from bayapp.text.language import _

DAY_ENDS = time.max
"""Stands for 24:00, which a time of day cannot say."""

_STRICT = re.compile(r"(\d\d:\d\d)-(\d\d:\d\d)")
_LOOSE = re.compile(r"\s*(\d{1,2})[:.h]?(\d\d)?\s*(?:-|\u2013|\u2014|to)\s*(\d{1,2})[:.h]?(\d\d)?\s*")


class WorkingHours(NamedTuple):
    """Working hours of every day, local time; ``ends`` is after ``begins``, ``DAY_ENDS`` for midnight."""

    begins: time
    ends: time

    def __str__(self) -> str:
        return f"{self.begins:%H:%M}-{'24:00' if self.ends == DAY_ENDS else self.ends.strftime('%H:%M')}"


def parse_hours(value: object) -> WorkingHours:
    """Return working hours from their text; parsed ones are checked again.

    Raises:
        ValueError: the text is wrong; says what would be right.
    """
    if isinstance(value, WorkingHours):
        value = str(value)
    parts = _STRICT.fullmatch(value) if isinstance(value, str) else None
    if parts is None:
        raise ValueError(
            _("{value} is no stretch of the day; write {right}").format(value=shown(value), right=_meant(value))
        )
    begins, ends = _time_of(parts[1]), _time_of(parts[2])
    if begins in (DAY_ENDS, ends):
        raise ValueError(_("{value!r} is no time at all; write e.g. '08:00-12:30'").format(value=value))
    if ends == time.min:
        raise ValueError(
            _("{value!r} ends at the beginning of the day; write '{begins}-24:00'").format(value=value, begins=parts[1])
        )
    if ends < begins:
        past = _("for work past midnight write two, '{begins}-24:00' and '00:00-{ends}'").format(
            begins=parts[1], ends=parts[2]
        )
        raise ValueError(
            _("{value!r} ends before it begins; write '{ends}-{begins}', or {past}").format(
                value=value, ends=parts[2], begins=parts[1], past=past
            )
        )
    return WorkingHours(begins, ends)


def in_order(hours: tuple[WorkingHours, ...]) -> tuple[WorkingHours, ...]:
    """Return the hours unchanged, after a check that they follow each other; they may touch.

    Raises:
        ValueError: two overlap or are in the wrong order; says what would be right.
    """
    for before, after in pairwise(hours):
        if after.ends <= before.begins:
            raise ValueError(
                _("'{after}' stands after '{before}'; write the earlier one first").format(after=after, before=before)
            )
        if after.begins < before.ends:
            both = WorkingHours(min(before.begins, after.begins), max(before.ends, after.ends))
            raise ValueError(
                _("'{after}' and '{before}' overlap; write '{both}' for both").format(
                    after=after, before=before, both=both
                )
            )
    return hours


def _time_of(text: str) -> time:
    hour, minute = int(text[:2]), int(text[3:])
    if (hour, minute) == (24, 0):
        return DAY_ENDS
    if hour > 23 or minute > 59:
        raise ValueError(
            _("'{text}' is no time of day; write 00:00 to 23:59, or 24:00 for the end of the day").format(text=text)
        )
    return time(hour, minute)


def _meant(value: object) -> str:
    """Return the text in the accepted form if its meaning is clear, else an example."""
    parts = _LOOSE.fullmatch(value) if isinstance(value, str) else None
    if parts is None:
        return "e.g. '08:00-12:30'"
    hours, minutes = (int(parts[1]), int(parts[3])), (parts[2] or "00", parts[4] or "00")
    return f"'{hours[0]:02d}:{minutes[0]}-{hours[1]:02d}:{minutes[1]}'"
