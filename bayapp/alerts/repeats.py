"""How often and how loudly an unanswered alert of each kind calls again."""

from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

from bayapp.alerts.kinds import AlertKind

# Good news is no alarm: whoever was in earshot has heard it by the third time, and an empty shop need not be told
# all night. It stays on the board until it is answered (common practice, no source).
TOLD = 3

# Whoever did not come after half an hour at full level is not in earshot, or has taken the alert for noise; calling
# on as fast teaches a shop to turn the sound off (common practice, no source).
AT_FULL_LEVEL = timedelta(minutes=30)

# Then four calls an hour: who comes in learns of it within a quarter of an hour, and it never falls silent.
REMINDER = timedelta(minutes=15)

# What closes can still be saved: for the last ten minutes before the lapse it is called at full pace again (common
# practice, no source).
LAST_CHANCE = timedelta(minutes=10)

STEP_UP = 0.1


@dataclass(frozen=True)
class Repeat:
    """How an unacknowledged alert insists.

    Attributes:
        first, floor: the silence after the first call, and the shortest it shrinks to.
        level: the level of the first call, 0 to 1.
        told: after so many calls it is silent; None when it calls until it is answered, though after a long time
            at full level only as a reminder.
    """

    first: timedelta
    floor: timedelta
    level: float
    told: int | None = None

    @cached_property
    def full_after(self) -> int:
        """After how many calls the next one is at full level."""
        return round((1.0 - self.level) / STEP_UP)

    def interval(self, calls: int) -> timedelta | None:
        """Return the longest silence after the given number of calls (1 or more); None when it has no end."""
        if self.is_told(calls):
            return None
        if self.is_slow(calls):
            return REMINDER
        shrunk: timedelta = self.first * 0.75 ** max(calls - 1, 0)
        return max(self.floor, shrunk)

    def is_told(self, calls: int) -> bool:
        """Whether it has called so often that it is silent now."""
        return self.told is not None and calls >= self.told

    def is_slow(self, calls: int) -> bool:
        """Whether it has called at full level for so long that only a reminder follows now and then."""
        return self.told is None and calls > self.full_after + AT_FULL_LEVEL // self.floor

    def afresh(self, calls: int) -> int:
        """Return the calls to count from when a person is there again: at full pace, or told once more."""
        return min(calls, self.full_after if self.told is None else self.told - 1)

    def loudness(self, calls: int) -> float:
        """Return the level, 0 to 1, of the call that follows the given number of calls."""
        return min(1.0, self.level + STEP_UP * calls)


def _until_answered(first: float, floor: float, level: float) -> Repeat:
    return Repeat(timedelta(seconds=first), timedelta(seconds=floor), level)


_GOOD_NEWS = Repeat(timedelta(minutes=5), timedelta(minutes=5), 0.4, told=TOLD)

# Ten seconds is the shortest: an alarm that nags faster is switched off (common practice, no source).
REPEATS = {
    AlertKind.OPENED: _until_answered(60, 30, 0.5),
    AlertKind.CLOSING: _until_answered(20, 10, 0.7),
    AlertKind.LAPSED: _until_answered(30, 15, 0.7),
    AlertKind.ATTENTION: _until_answered(45, 20, 0.6),
    AlertKind.CURED: _GOOD_NEWS,
    AlertKind.HANDOVER: _GOOD_NEWS,
}
