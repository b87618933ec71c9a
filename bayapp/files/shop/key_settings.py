"""The actions of a foot switch, presenter or button: ``[keys]`` in the settings."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field, StringConstraints

from bayapp.job.model.vehicle import FileModel

KeyName = Annotated[str, StringConstraints(min_length=1, max_length=40, strip_whitespace=True)]
Seconds = Annotated[float, Field(allow_inf_nan=False)]


class Gesture(StrEnum):
    """How a key is pressed: short, long, or twice."""

    PRESS = "press"
    LONG = "long"
    DOUBLE = "double"


class KeyAction(StrEnum):
    """What a press does: the suggested next step, "heard it" to every alert, undo, back, or nothing."""

    NEXT = "next"
    HEARD = "heard"
    UNDO = "undo"
    BACK = "back"
    NONE = "none"


class KeySettings(FileModel):
    """What one key does, by gesture; what is left out does nothing, but a short press does the next step.

    A gesture that has no action of its own is read as the next simpler one: without ``long`` a slow press is a press.
    """

    press: KeyAction = KeyAction.NEXT
    long: KeyAction | None = None
    double: KeyAction | None = None

    def action(self, gesture: Gesture) -> KeyAction | None:
        """Return the action of a gesture; None if it has none of its own."""
        return {Gesture.PRESS: self.press, Gesture.LONG: self.long, Gesture.DOUBLE: self.double}[gesture]

    def with_action(self, gesture: Gesture, action: KeyAction | None) -> "KeySettings":
        """Return the settings with another action for a gesture; a press without one goes back to the next step."""
        if gesture is Gesture.PRESS and action is None:
            action = KeyAction.NEXT
        return self.model_copy(update={gesture.value: action})
