"""Recognises the gestures of a foot switch from when it goes down and up: short, long, twice.

A press counts when the foot comes up, so that a foot resting on the switch does nothing. A short press waits for a
second one only if a double press has a meaning of its own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from bayapp.files.shop.key_settings import Gesture

LONG = timedelta(milliseconds=800)
TWICE_WITHIN = timedelta(milliseconds=400)
RESTING = timedelta(seconds=3)
"""Whoever stands on the switch for longer only rests the foot there."""
BOUNCE = timedelta(milliseconds=30)
"""A contact that closes again so quickly was bouncing; most settle within 10 ms (common practice, no source)."""

Meant = Callable[[str, Gesture], bool]


@dataclass(frozen=True, slots=True)
class Read:
    """A key and how it was pressed."""

    key: str
    gesture: Gesture


class GestureReader:
    """Reads the gestures of any number of keys.

    Args:
        meant: whether a gesture of a key has a meaning of its own; otherwise the next simpler one is meant.
        long: the least length of a long press.
        twice_within: the longest pause before the second press of a double press.
    """

    def __init__(self, meant: Meant, long: timedelta = LONG, twice_within: timedelta = TWICE_WITHIN) -> None:
        self._meant, self._long, self._twice = meant, long, twice_within
        self._down: dict[str, timedelta] = {}  # since when each key is down; spent ones are left out
        self._up: dict[str, timedelta] = {}  # when each key came up last
        self._waiting: tuple[str, timedelta] | None = None  # a short press that may become two, and until when

    def down(self, key: str, at: timedelta) -> list[Read]:
        """Take in that a key went down; return the gestures that this completes. A repeat of a held key is ignored."""
        found = self.due(at)
        if key in self._down or at - self._up.get(key, at - BOUNCE) < BOUNCE:
            return found
        if self._waiting and self._waiting[0] == key:
            self._waiting = None
            return [*found, Read(key, Gesture.DOUBLE)]  # its coming up says nothing more
        found += self._settle()
        self._down[key] = at
        return found

    def up(self, key: str, at: timedelta) -> list[Read]:
        """Take in that a key came up; return its gestures."""
        found = self.due(at)
        began = self._down.pop(key, None)
        if began is None:
            return found
        self._up[key] = at
        held = at - began
        if held > RESTING:
            return found
        if held >= self._long and self._meant(key, Gesture.LONG):
            return [*found, Read(key, Gesture.LONG)]
        if self._meant(key, Gesture.DOUBLE):
            self._waiting = key, at + self._twice
            return found
        return [*found, Read(key, Gesture.PRESS)]

    def due(self, at: timedelta) -> list[Read]:
        """Return the short press whose second press has not come in time."""
        return self._settle() if self._waiting and at > self._waiting[1] else []

    @property
    def waits_until(self) -> timedelta | None:
        """Until when a short press waits for a second one; None if none waits."""
        return self._waiting[1] if self._waiting else None

    def held(self, at: timedelta) -> tuple[str, timedelta] | None:
        """Return the key that has been down for longest, and for how long."""
        if not self._down:
            return None
        key = min(self._down, key=lambda one: self._down[one])
        return key, at - self._down[key]

    def forget(self) -> None:
        """Forget all presses: the window lost the focus, so that releases are not seen."""
        self._down.clear()
        self._waiting = None

    def _settle(self) -> list[Read]:
        if self._waiting is None:
            return []
        key, self._waiting = self._waiting[0], None
        return [Read(key, Gesture.PRESS)]
