"""Judges the samples of one sensor and quantity: good, absurd, jumped, stuck, silent, late.

How fast air can change is common practice, no source. A gate opened in winter changes the air within minutes, so a jump
is not refused for ever: it is believed once the sensor has stayed at the new value.
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
"""With no other sensor to compare with, an unchanged number is called stuck after this many times the usual minutes."""
JUMP = {Quantity.AIR: 3.0, Quantity.HUMIDITY: 15.0, Quantity.SURFACE: 5.0}
PER_MINUTE = {Quantity.AIR: 1.0, Quantity.HUMIDITY: 5.0, Quantity.SURFACE: 5.0}
MOVED = {Quantity.AIR: 1.0, Quantity.HUMIDITY: 5.0, Quantity.SURFACE: 1.0}


@dataclass(frozen=True, slots=True)
class Rules:
    """The limits that one sensor's samples are judged by."""

    silent: timedelta = timedelta(minutes=5)
    stuck: timedelta = timedelta(minutes=60)
    possible_c: tuple[float, float] = (-20.0, 70.0)

    def possible(self, quantity: Quantity, value: float) -> bool:
        """Whether a value is physically possible in a bay; air below 1 % relative humidity is not."""
        low, high = (1.0, 100.0) if quantity is Quantity.HUMIDITY else self.possible_c
        return math.isfinite(value) and low <= value <= high


@dataclass(frozen=True, slots=True)
class Sample:
    """One measured value: of what, when it was measured, and when it arrived."""

    sensor: str
    quantity: Quantity
    value: float
    read_at: datetime
    came_at: datetime


class SampleQuality(StrEnum):
    """Whether a sample may be used, and why not."""

    GOOD = "good"
    LATE = "late"
    ABSURD = "absurd"
    JUMPED = "jumped"
    TOO_OLD = "too-old"
    AHEAD = "ahead"


class SensorHealth(StrEnum):
    """Whether a channel works, and what is wrong with it."""

    GOOD = "good"
    UNHEARD = "unheard"
    SILENT = "silent"
    STUCK = "stuck"
    ABSURD = "absurd"
    JUMPED = "jumped"
    AHEAD = "ahead"
    TOO_OLD = "too-old"


_TROUBLES = {
    SampleQuality.ABSURD: SensorHealth.ABSURD,
    SampleQuality.JUMPED: SensorHealth.JUMPED,
    SampleQuality.AHEAD: SensorHealth.AHEAD,
    SampleQuality.TOO_OLD: SensorHealth.TOO_OLD,
}


@dataclass(frozen=True, slots=True)
class Channel:
    """What one sensor has measured of one quantity so far.

    Attributes:
        since: when listening began.
        good: the latest good sample.
        last, quality: the latest sample, good or not, and its quality.
        same_since, same: since when, and how many times in a row, exactly the same number has come.
        jump: samples that look like a jump, but are believed if the sensor stays there.
    """

    quantity: Quantity
    since: datetime
    good: Sample | None = None
    last: Sample | None = None
    quality: SampleQuality = SampleQuality.GOOD
    same_since: datetime | None = None
    same: int = 0
    jump: tuple[Sample, ...] = ()

    @property
    def last_good_at(self) -> datetime:
        """When the latest good sample was measured; when listening began if there is none."""
        return self.good.read_at if self.good else self.since


def take_sample(channel: Channel, sample: Sample, rules: Rules) -> tuple[Channel, SampleQuality]:
    """Return the channel with one more sample, and the quality of that sample."""
    quality = _dated(sample)
    if quality in (SampleQuality.TOO_OLD, SampleQuality.AHEAD):
        return replace(channel, last=sample, quality=quality), quality
    if not rules.possible(channel.quantity, sample.value):
        return replace(channel, last=sample, quality=SampleQuality.ABSURD), SampleQuality.ABSURD
    good = channel.good
    if quality is SampleQuality.LATE and good and sample.read_at <= good.read_at:
        return channel, SampleQuality.LATE
    if good and _too_far(good, sample):
        jump = _followed(channel.jump, sample)
        if not _has_settled(jump):
            return replace(channel, last=sample, quality=SampleQuality.JUMPED, jump=jump), SampleQuality.JUMPED
    return _believed(channel, sample), quality


def health(channel: Channel, at: datetime, rules: Rules, others_moved: bool) -> SensorHealth:
    """Return the health of a channel; ``others_moved``: another channel has clearly changed while this one has not."""
    if channel.last is None:
        return SensorHealth.SILENT if at - channel.since > rules.silent else SensorHealth.UNHEARD
    if at - channel.last.came_at > rules.silent:
        return SensorHealth.SILENT
    if channel.quality in _TROUBLES:
        return _TROUBLES[channel.quality]
    if at - channel.last_good_at > max(rules.silent, LATE):
        return SensorHealth.SILENT  # what arrives was measured long ago
    return SensorHealth.STUCK if _stuck(channel, rules, others_moved) else SensorHealth.GOOD


def moved(before: Sample, after: Sample) -> bool:
    """Whether a quantity has changed so much that no other sensor in the bay can have missed it."""
    return abs(after.value - before.value) >= MOVED[after.quantity]


def _dated(sample: Sample) -> SampleQuality:
    age = sample.came_at - sample.read_at
    if age < -AHEAD:
        return SampleQuality.AHEAD
    if age > TOO_OLD:
        return SampleQuality.TOO_OLD
    return SampleQuality.LATE if age > LATE else SampleQuality.GOOD


def _too_far(good: Sample, sample: Sample) -> bool:
    minutes = abs(sample.read_at - good.read_at) / timedelta(minutes=1)
    return abs(sample.value - good.value) > JUMP[sample.quantity] + PER_MINUTE[sample.quantity] * minutes


def _followed(jump: tuple[Sample, ...], sample: Sample) -> tuple[Sample, ...]:
    """Return the jump with one more sample, or a new jump if the sample does not continue it."""
    return (*jump[:1], *jump[1:][-STAYS_SAMPLES:], sample) if jump and not _too_far(jump[-1], sample) else (sample,)


def _has_settled(jump: tuple[Sample, ...]) -> bool:
    return len(jump) >= STAYS_SAMPLES and jump[-1].read_at - jump[0].read_at >= STAYS_FOR


def _believed(channel: Channel, sample: Sample) -> Channel:
    same = channel.good is not None and channel.good.value == sample.value
    return replace(
        channel,
        good=sample,
        last=sample,
        quality=SampleQuality.GOOD,
        same_since=channel.same_since if same else sample.read_at,
        same=channel.same + 1 if same else 1,
        jump=(),
    )


def _stuck(channel: Channel, rules: Rules, others_moved: bool) -> bool:
    if channel.same < STUCK_SAMPLES or channel.same_since is None or channel.good is None:
        return False
    for_so_long = channel.good.read_at - channel.same_since
    return for_so_long >= (rules.stuck if others_moved else rules.stuck * STUCK_ALONE)
