"""Tells a deliberate hold that unlocks the screen from water, cloths and wiping hands.

A hold is a single touch that begins on the mark, stays for two seconds and is then lifted. A touch that stays longer
(a drop, a cloth, an elbow), moves, or is not the only one, invalidates all touches until the glass is free again.
"""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from math import hypot

HOLD = timedelta(seconds=2)
LYING = timedelta(seconds=8)
"""What is not taken away for so long was put there by nobody."""
STILL_MM = 10.0
"""A gloved finger rolls by less; whoever wipes moves by more."""


class Holding(StrEnum):
    """The state of a hold: none, still held, long enough to let go, or invalid."""

    NOTHING = "nothing"
    KEPT = "kept"
    ENOUGH = "enough"
    SPOILED = "spoiled"


@dataclass(frozen=True, slots=True)
class _Touch:
    x: float
    y: float
    at: timedelta


class HoldToUnlock:
    """Reads touches, each with a number of its own; places are in millimetres."""

    def __init__(self) -> None:
        self._touches: dict[int, _Touch] = {}
        self._spoiled = False

    def down(self, touch: int, x: float, y: float, on_mark: bool, at: timedelta) -> None:
        """Take in a new touch."""
        self._touches[touch] = _Touch(x, y, at)
        self._spoiled = self._spoiled or not on_mark or len(self._touches) > 1

    def moved(self, touch: int, x: float, y: float) -> None:
        """Take in the move of a touch."""
        began = self._touches.get(touch)
        if began and hypot(x - began.x, y - began.y) > STILL_MM:
            self._spoiled = True

    def up(self, touch: int, at: timedelta) -> bool:
        """Take in the end of a touch; return whether that unlocks."""
        enough = self.holding(at) is Holding.ENOUGH and touch in self._touches
        self._touches.pop(touch, None)
        if not self._touches:
            self._spoiled = False
        return enough

    def cancel(self) -> None:
        """Take in that the system cancelled the touches: the glass counts as free."""
        self._touches.clear()
        self._spoiled = False

    def holding(self, at: timedelta) -> Holding:
        """Return the state of the hold."""
        if not self._touches:
            return Holding.NOTHING
        held = at - next(iter(self._touches.values())).at
        if self._spoiled or held > LYING:
            return Holding.SPOILED
        return Holding.ENOUGH if held >= HOLD else Holding.KEPT

    def share(self, at: timedelta) -> float:
        """Return how much of the two seconds has been held, 0 to 1."""
        if self.holding(at) not in (Holding.KEPT, Holding.ENOUGH):
            return 0.0
        return min(1.0, (at - next(iter(self._touches.values())).at) / HOLD)
