"""Plays and speaks the calls; the sound process starts once the board is shown."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from bayapp.alerts.calls import Call
from bayapp.alerts.device import Cause, DeviceState
from bayapp.alerts.device_words import reason, short_reason
from bayapp.alerts.player import SoundPlayer
from bayapp.alerts.speech import Speaker

TOLD_AFTER_MS = 3_000
"""A device that works again by then, as after a restart of its server, is nothing to call a person for."""

NEVER_THERE = (Cause.NO_LIBRARY, Cause.NO_DEVICE, Cause.NOWHERE)


class SoundCaller(QObject):
    """The sound of one window.

    Signals:
        changed: the device came, went, or speech was switched.
        silenced: calls cannot be heard any more, though there is sound; carries why in a sentence, or nothing once
            they can again.
    """

    changed = Signal()
    silenced = Signal(str)

    def __init__(self, volume: float, spoken: bool, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._player = SoundPlayer(self)
        self._player.set_volume(volume)
        self._player.stateChanged.connect(lambda _: self._follow_device())
        self._told = self._worked = False
        self._tell_soon = QTimer(self, singleShot=True)
        self._tell_soon.timeout.connect(self._tell_silence)
        self._ended: Callable[[bool], None] | None = None
        self._player.checked.connect(self._tell_end)
        self._speaker: Speaker | None = None
        self.spoken = False
        if spoken:
            QTimer.singleShot(0, lambda: self.speak(True))

    def works(self) -> bool:
        """Whether there is a working sound device."""
        return self._player.device_state().state is DeviceState.WORKING

    def why(self) -> str:
        """Return the state of the sound device, in a sentence."""
        return reason(self._player.device_state())

    def _follow_device(self) -> None:
        self.changed.emit()
        if self.works():
            self._worked = True
            self._tell_soon.stop()
            if self._told:
                self._told = False
                self.silenced.emit("")
        elif self._told:
            self.silenced.emit(self.why())
        elif not self._tell_soon.isActive() and not self._without():
            self._tell_soon.start(TOLD_AFTER_MS)

    def _without(self) -> bool:
        """Whether this machine has had no sound from the start: the board says so all day, and calls nobody."""
        return not self._worked and self._player.device_state().cause in NEVER_THERE

    def _tell_silence(self) -> None:
        if self._without():
            return
        self._told = True
        self.silenced.emit(self.why())

    def short_why(self) -> str:
        """Return why nothing can be heard, in two words."""
        return short_reason(self._player.device_state())

    def call(self, call: Call) -> None:
        """Sound a call, and speak it where speech is on."""
        self._player.play(call.kind, call.level)
        if self.spoken and self._speaker:
            self._speaker.say("; ".join(call.labels))

    def knock(self) -> None:
        """Knock once, quietly, unless a call sounds."""
        self._player.knock()

    def check(self, ended: Callable[[bool], None]) -> None:
        """Play each kind once; ``ended`` receives whether every tone was played to its end."""
        self._ended = None  # a check that starts over reports no end of the first one
        self._player.sound_check()
        self._ended = ended

    def _tell_end(self, complete: bool) -> None:
        ended, self._ended = self._ended, None
        if ended:
            ended(complete)

    def set_volume(self, volume: float) -> None:
        """Set the volume, as a share of the device's full level."""
        self._player.set_volume(volume)

    def speak(self, on: bool) -> str:
        """Switch spoken lines on or off; return why speech is not available, or nothing."""
        self._speaker = self._speaker or Speaker(self)
        able, why = self._speaker.available()
        self.spoken = on and able
        self._speaker.set_on(self.spoken)
        self.changed.emit()
        return "" if able or not on else why
