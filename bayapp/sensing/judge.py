"""Judges what one sensor says of one quantity: good, absurd, stuck, silent, late. Pure.

The limits of what air can do are common practice, no source: a gate opened in winter changes the air within minutes,
so a jump is not refused for ever, but believed once the sensor has kept to it.
"""

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from bayapp.files.shop.sensor_settings import Quantity

LATE = timedelta(minutes=1)
AHEAD = timedelta(minutes=1)
TOO_OLD = timedelta(minutes=30)
STAYS_FOR = timedelta(minutes=2)
STAYS_SAMPLES = 3
STUCK_SAMPLES = 10
STUCK_ALONE = 3
"""Nothing to compare with: after so many times the minutes, a number that never moved is called stuck all the same."""
JUMP = {Quantity.AIR: 3.0, Quantity.HUMIDITY: 15.0, Quantity.SURFACE: 5.0}
PER_MINUTE = {Quantity.AIR: 1.0, Quantity.HUMIDITY: 5.0, Quantity.SURFACE: 5.0}
MOVED = {Quantity.AIR: 1.0, Quantity.HUMIDITY: 5.0, Quantity.SURFACE: 1.0}


@dataclass(frozen=True, slots=True)
class Rules:
    """What one sensor is held to."""

    silent: timedelta = timedelta(minutes=5)
    stuck: timedelta = timedelta(minutes=60)
    possible_c: tuple[float, float] = (-20.0, 70.0)

    def possible(self, quantity: Quantity, value: float) -> bool:
        """Whether there is such a value; below 1 % relative humidity is no air of any bay."""
        low, high = (1.0, 100.0) if quantity is Quantity.HUMIDITY else self.possible_c
        return math.isfinite(value) and low <= value <= high


@dataclass(frozen=True, slots=True)
class Sample:
    """One number: what it is of, when it was measured, and when it came."""

    sensor: str
    quantity: Quantity
    value: float
    read_at: datetime
    came_at: datetime


class Heard(StrEnum):
    """What a sample is worth."""

    GOOD = "good"
    LATE = "late"
    ABSURD = "absurd"
    JUMPED = "jumped"
    TOO_OLD = "too-old"
    AHEAD = "ahead"


class SensorHealth(StrEnum):
    """How a channel stands now."""

    GOOD = "good"
    UNHEARD = "unheard"
    SILENT = "silent"
    STUCK = "stuck"
    ABSURD = "absurd"
    JUMPED = "jumped"
    AHEAD = "ahead"
    TOO_OLD = "too-old"


_TROUBLES = {
    Heard.ABSURD: SensorHealth.ABSURD,
    Heard.JUMPED: SensorHealth.JUMPED,
    Heard.AHEAD: SensorHealth.AHEAD,
    Heard.TOO_OLD: SensorHealth.TOO_OLD,
}


@dataclass(frozen=True, slots=True)
class Channel:
    """What one sensor has said of one quantity so far.

    Attributes:
        since: from when on it was listened to.
        good: the latest good sample.
        last: the latest sample of whatever worth, and what it was worth.
        same_since, same: since when, and how many times in a row, the very same number was said.
        jump: samples that would be a jump, and may yet turn out to be how it is now.
    """

    quantity: Quantity
    since: datetime
    good: Sample | None = None
    last: Sample | None = None
    worth: Heard = Heard.GOOD
    same_since: datetime | None = None
    same: int = 0
    jump: tuple[Sample, ...] = ()

    @property
    def heard_at(self) -> datetime:
        """The moment of which the sensor last told, or from which it was listened to."""
        return self.good.read_at if self.good else self.since


def hear(channel: Channel, sample: Sample, rules: Rules) -> tuple[Channel, Heard]:
    """Return the channel after one more sample, and what that is worth."""
    worth = _dated(sample)
    if worth in (Heard.TOO_OLD, Heard.AHEAD):
        return replace(channel, last=sample, worth=worth), worth
    if not rules.possible(channel.quantity, sample.value):
        return replace(channel, last=sample, worth=Heard.ABSURD), Heard.ABSURD
    good = channel.good
    if worth is Heard.LATE and good and sample.read_at <= good.read_at:
        return channel, Heard.LATE
    if good and _too_far(good, sample):
        jump = _followed(channel.jump, sample)
        if not _stays(jump):
            return replace(channel, last=sample, worth=Heard.JUMPED, jump=jump), Heard.JUMPED
    return _believed(channel, sample), worth


def health(channel: Channel, at: datetime, rules: Rules, others_moved: bool) -> SensorHealth:
    """Return how a channel stands; ``others_moved``: another one moved clearly while this said the same."""
    if channel.last is None:
        return SensorHealth.SILENT if at - channel.since > rules.silent else SensorHealth.UNHEARD
    if at - channel.last.came_at > rules.silent:
        return SensorHealth.SILENT
    if channel.worth in _TROUBLES:
        return _TROUBLES[channel.worth]
    if at - channel.heard_at > max(rules.silent, LATE):
        return SensorHealth.SILENT  # what comes tells of the past only
    return SensorHealth.STUCK if _stuck(channel, rules, others_moved) else SensorHealth.GOOD


def moved(before: Sample, after: Sample) -> bool:
    """Whether a quantity has moved so far that no sensor beside it can have missed it."""
    return abs(after.value - before.value) >= MOVED[after.quantity]


def _dated(sample: Sample) -> Heard:
    age = sample.came_at - sample.read_at
    if age < -AHEAD:
        return Heard.AHEAD
    if age > TOO_OLD:
        return Heard.TOO_OLD
    return Heard.LATE if age > LATE else Heard.GOOD


def _too_far(good: Sample, sample: Sample) -> bool:
    minutes = abs(sample.read_at - good.read_at) / timedelta(minutes=1)
    return abs(sample.value - good.value) > JUMP[sample.quantity] + PER_MINUTE[sample.quantity] * minutes


def _followed(jump: tuple[Sample, ...], sample: Sample) -> tuple[Sample, ...]:
    """Return the jump with one more sample, or a new one where this does not go on from it."""
    return (*jump[:1], *jump[1:][-STAYS_SAMPLES:], sample) if jump and not _too_far(jump[-1], sample) else (sample,)


def _stays(jump: tuple[Sample, ...]) -> bool:
    return len(jump) >= STAYS_SAMPLES and jump[-1].read_at - jump[0].read_at >= STAYS_FOR


def _believed(channel: Channel, sample: Sample) -> Channel:
    same = channel.good is not None and channel.good.value == sample.value
    return replace(
        channel,
        good=sample,
        last=sample,
        worth=Heard.GOOD,
        same_since=channel.same_since if same else sample.read_at,
        same=channel.same + 1 if same else 1,
        jump=(),
    )


def _stuck(channel: Channel, rules: Rules, others_moved: bool) -> bool:
    if channel.same < STUCK_SAMPLES or channel.same_since is None or channel.good is None:
        return False
    for_so_long = channel.good.read_at - channel.same_since
    return for_so_long >= (rules.stuck if others_moved else rules.stuck * STUCK_ALONE)
