"""How often and how loudly an unanswered alert calls again."""

from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

# Good news is no alarm: whoever was in earshot has heard it by the third time, and an empty shop need not hear it
# all night. It stays on the board until it is answered (common practice, no source).
GOOD_NEWS_CALLS = 3

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
        most_calls: after so many calls it is silent; None when it calls until it is answered, though after a long
            time at full level only as a reminder.
    """

    first: timedelta
    floor: timedelta
    level: float
    most_calls: int | None = None

    @cached_property
    def full_after(self) -> int:
        """After how many calls the next one is at full level."""
        return round((1.0 - self.level) / STEP_UP)

    def interval(self, calls: int) -> timedelta | None:
        """Return the longest silence after the given number of calls (1 or more); None when it has no end."""
        if self.has_called_enough(calls):
            return None
        if self.is_slow(calls):
            return REMINDER
        shrunk: timedelta = self.first * 0.75 ** max(calls - 1, 0)
        return max(self.floor, shrunk)

    def has_called_enough(self, calls: int) -> bool:
        """Whether it has called so often that it is silent now."""
        return self.most_calls is not None and calls >= self.most_calls

    def is_slow(self, calls: int) -> bool:
        """Whether it has called at full level for so long that only a reminder follows now and then."""
        return self.most_calls is None and calls > self.full_after + AT_FULL_LEVEL // self.floor

    def afresh(self, calls: int) -> int:
        """Return the calls to count from when a person is there again: at full pace, or once more if it was silent."""
        return min(calls, self.full_after if self.most_calls is None else self.most_calls - 1)

    def loudness(self, calls: int) -> float:
        """Return the level, 0 to 1, of the call that follows the given number of calls."""
        return min(1.0, self.level + STEP_UP * calls)


def until_answered(first_s: float, floor_s: float, level: float) -> Repeat:
    """Return the repeat of what calls until somebody answers.

    Ten seconds is the shortest ``floor_s``: an alarm that nags faster is switched off (common practice, no source).
    """
    return Repeat(timedelta(seconds=first_s), timedelta(seconds=floor_s), level)


GOOD_NEWS = Repeat(timedelta(minutes=5), timedelta(minutes=5), 0.4, most_calls=GOOD_NEWS_CALLS)
