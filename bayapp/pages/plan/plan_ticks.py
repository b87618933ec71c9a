"""The hour marks of the time line, in the shop's time zone."""

from datetime import datetime, timedelta, tzinfo
from typing import NamedTuple

from bayapp.text.figures import clock_time, day_of_month

STEPS = (1, 5, 15, 30, 60, 120, 180, 240, 360, 720, 1440)
"""Minutes between two ticks, so that a person reads them off without reckoning."""

OFFSETS = 15
"""Every time zone's offset from UTC is a multiple of a quarter of an hour."""


class Tick(NamedTuple):
    """One mark with its words: the time of day, at midnight the date."""

    at: datetime
    words: str


def ticks(begins: datetime, ends: datetime, most: int, tz: tzinfo) -> list[Tick]:
    """Return at most so many ticks between two moments, at even local times, also when summer time begins or ends."""
    span = (ends - begins) / timedelta(minutes=1)
    step = next((s for s in STEPS if span / s <= max(1, most)), STEPS[-1])
    pace = timedelta(minutes=min(step, OFFSETS))
    first = begins.replace(hour=0, minute=0, second=0, microsecond=0)
    moment = first + -(-(begins - first) // pace) * pace
    found = []
    while moment <= ends:
        local = moment.astimezone(tz)
        minute = local.hour * 60 + local.minute
        if minute % step == 0:
            found.append(Tick(moment, clock_time(moment, tz, seconds=False) if minute else day_of_month(moment, tz)))
        moment += pace
    return found
