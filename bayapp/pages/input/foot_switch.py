"""Recognises the gestures of a foot switch from when it goes down and up: short, long, twice.

A press counts once the foot has come up and stayed up, so that a foot resting on the switch does nothing: some
keyboards and remote screens tell a held key as releases and presses in quick turn. A short press waits for a second one
only if a double press has a meaning of its own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from bayapp.files.shop.key_settings import Gesture

LONG = timedelta(milliseconds=800)
TWICE_WITHIN = timedelta(milliseconds=400)
RESTING = timedelta(seconds=3)
"""Whoever stands on the switch for longer only rests the foot there."""
STAYS_UP = timedelta(milliseconds=60)
"""A key that goes down again so soon was held all the while: a contact bounces for some 10 ms, a display server tells
a held key as a release and a press every 30 to 40 ms (common practice, no source)."""
AGAIN_AFTER = timedelta(milliseconds=600)
"""A second press that begins sooner after the first is a slip of the foot: nobody has read the new step by then."""

Meant = Callable[[str, Gesture], bool]


class KeyHolds:
    """Tells a press that acts as a key goes down from the repeats of a held key, whatever these look like.

    A release that was not seen, because another window had the focus, does not keep the key down for good.
    """

    def __init__(self) -> None:
        self._up: dict[str, timedelta] = {}
        self._began: dict[str, timedelta] = {}

    def begins(self, key: str, at: timedelta) -> bool:
        """Take in that a key went down; return whether that is a press of its own."""
        lifted, began = self._up.pop(key, None), self._began.get(key)
        repeated = lifted is not None and at - lifted < STAYS_UP
        if repeated or (began is not None and at - began < AGAIN_AFTER):
            return False
        self._began[key] = at
        return True

    def lifts(self, key: str, at: timedelta) -> None:
        """Take in that a key came up."""
        self._up[key] = at


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
        self._down: dict[str, timedelta] = {}  # since when each key is down
        self._spent: set[str] = set()  # those of them whose coming up says nothing more
        self._lifted: dict[str, timedelta] = {}  # those of them that came up and may not stay up
        self._read_at: dict[str, timedelta] = {}  # when the press began that was read last, of each key
        self._waiting: tuple[str, timedelta] | None = None  # a short press that may become two, and until when

    def down(self, key: str, at: timedelta) -> list[Read]:
        """Take in that a key went down; return the gestures that this completes. A repeat of a held key is ignored."""
        found = self.due(at)
        if key in self._down:
            self._lifted.pop(key, None)
            return found
        self._down[key] = at
        if self._waiting and self._waiting[0] == key:
            self._waiting = None
            self._read_at[key] = at
            self._spent.add(key)
            return [*found, Read(key, Gesture.DOUBLE)]
        if at - self._read_at.get(key, at - AGAIN_AFTER) < AGAIN_AFTER:
            self._spent.add(key)
            return found
        return found + self._settle()

    def up(self, key: str, at: timedelta) -> list[Read]:
        """Take in that a key came up; return the gestures that are certain by now. Its own is so once it stays up."""
        found = self.due(at)
        if key in self._down:
            self._lifted[key] = at
        return found

    def due(self, at: timedelta) -> list[Read]:
        """Return what has become certain: keys that stay up, and a short press without a second one in time."""
        found: list[Read] = []
        for key, lifted in sorted(self._lifted.items(), key=lambda one: one[1]):
            if at - lifted >= STAYS_UP:
                found += self._settle() if self._waiting and lifted > self._waiting[1] else []
                found += self._pressed(key, lifted)
        return [*found, *(self._settle() if self._waiting and at > self._waiting[1] else [])]

    def _pressed(self, key: str, lifted: timedelta) -> list[Read]:
        del self._lifted[key]
        began, spent = self._down.pop(key), key in self._spent
        self._spent.discard(key)
        if spent or lifted - began > RESTING:
            return []
        self._read_at[key] = began
        if lifted - began >= self._long and self._meant(key, Gesture.LONG):
            return [Read(key, Gesture.LONG)]
        if self._meant(key, Gesture.DOUBLE):
            before = self._settle()
            self._waiting = key, lifted + self._twice
            return before
        return [Read(key, Gesture.PRESS)]

    @property
    def waits_until(self) -> timedelta | None:
        """From when on ``due`` has something more to tell; None if nothing waits."""
        moments = [lifted + STAYS_UP for lifted in self._lifted.values()]
        return min([*moments, *([self._waiting[1]] if self._waiting else [])], default=None)

    def forget(self) -> None:
        """Forget all presses: the window lost the focus, so that releases are not seen."""
        self._down.clear()
        self._spent.clear()
        self._lifted.clear()
        self._waiting = None

    def _settle(self) -> list[Read]:
        if self._waiting is None:
            return []
        key, self._waiting = self._waiting[0], None
        return [Read(key, Gesture.PRESS)]
