"""The sound of the board: a device that plays calls and checks, and a voice that is silent until there is one."""

from collections.abc import Callable
from typing import Protocol

from bayapp.alerts.calls import Call
from bayapp.text.language import _


class Sound(Protocol):
    """A device for the alerts, and for spoken lines."""

    spoken: bool

    def works(self) -> bool:
        """Whether there is a working device."""

    def why(self) -> str:
        """A sentence about the state of the device."""

    def short_why(self) -> str:
        """Two words about a device that does not work."""

    def call(self, call: Call) -> None:
        """Sound a call."""

    def knock(self) -> None:
        """Knock once, quietly, unless a call sounds."""

    def check(self, ended: Callable[[bool], None]) -> None:
        """Play each kind once; ``ended`` gets whether every tone was played to its end."""

    def set_volume(self, volume: float) -> None:
        """Set the volume, as a share of the device's full level."""

    def speak(self, on: bool) -> str:
        """Switch spoken lines on or off; return why that is not possible, or empty."""


class Voice:
    """The sound of the wall: silent until the board stands and its device has started.

    Attributes:
        sound: the device; None until it has started.
    """

    def __init__(self) -> None:
        self.sound: Sound | None = None

    def begin(self, sound: Sound) -> None:
        """Sound by this device from now on."""
        self.sound = sound

    @property
    def broken(self) -> str:
        """Why the device does not work, in two words; empty if it does, or has not started."""
        return self.sound.short_why() if self.sound and not self.sound.works() else ""

    def call(self, call: Call) -> None:
        """Sound a call."""
        if self.sound:
            self.sound.call(call)

    def knock(self) -> None:
        """Knock once, quietly: a touch was not taken."""
        if self.sound:
            self.sound.knock()

    def check(self, ended: Callable[[bool], None]) -> None:
        """Play each kind once; ``ended`` gets whether every tone was played to its end."""
        if self.sound:
            self.sound.check(ended)

    def set_volume(self, volume: float) -> None:
        """Set the volume, as a share of the device's full level."""
        if self.sound:
            self.sound.set_volume(volume)

    def speaks(self, wished: bool) -> bool:
        """Whether lines are spoken; the wish, while nothing has started."""
        return self.sound.spoken if self.sound else wished

    def speak(self, on: bool) -> str:
        """Switch spoken lines on or off; return why that is not possible, or empty."""
        return self.sound.speak(on) if self.sound else _("The sound is still starting.")

    def against_check(self) -> str:
        """Return why the tones cannot be played now; empty if they can."""
        if self.sound is None:
            return _("The sound is still starting.")
        return "" if self.sound.works() else self.sound.why()
