"""What the wall needs of sound."""

from collections.abc import Callable
from typing import Protocol

from bayapp.alerts.calls import Call


class Sound(Protocol):
    """What the wall needs of sound; there is none until the board stands."""

    spoken: bool

    def works(self) -> bool:
        """Whether there is a working device."""

    def why(self) -> str:
        """How the device stands."""

    def call(self, call: Call) -> None:
        """Sound a call."""

    def check(self, ended: Callable[[bool], None]) -> None:
        """Play each kind once; ``ended`` is told at the end whether every tone was played to its own."""

    def set_volume(self, volume: float) -> None:
        """Sound with this share of the device's full level from now on."""

    def speak(self, on: bool) -> str:
        """Switch spoken lines; return why not."""
