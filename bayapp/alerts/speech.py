"""Speaks the lines of a call."""

from __future__ import annotations

from PySide6.QtCore import QObject

from bayapp.text.language import _

try:
    from PySide6 import QtTextToSpeech
except ImportError as trouble:  # a bare system lacks what Qt's library is linked to
    MISSING = str(trouble)
else:
    MISSING = ""

SILENT_ENGINES = frozenset({"mock", "none"})  # Qt's stand-ins for tests


class Speaker(QObject):
    """Speaks short lines, off until switched on. A new line cuts the old one short. Has no signals.

    Starting the voice is left until it is switched on: it may start a service.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._voice: QtTextToSpeech.QTextToSpeech | None = None

    def set_on(self, on: bool) -> None:
        """Switch the voice on, where there is one, or off."""
        if not on and self._voice is not None:
            self._voice.stop()
            self._voice.deleteLater()
            self._voice = None
        elif on and self._voice is None and (engine := _engine()):
            self._voice = QtTextToSpeech.QTextToSpeech(engine, self)

    def available(self) -> tuple[bool, str]:
        """Return whether lines can be spoken, and a sentence that says why or why not."""
        if not _engine():
            return False, _("No voice is installed. Speech Dispatcher gives the screen one.")
        if self._voice is None:
            return True, _("A voice is there, but switched off.")
        if self._voice.state() is QtTextToSpeech.QTextToSpeech.State.Error:
            return False, _("The voice does not answer: {trouble}").format(trouble=self._voice.errorString())
        return True, _("Calls are spoken.")

    def say(self, text: str) -> bool:
        """Speak a line and return whether the voice took it; never an error."""
        if self._voice is None or self._voice.state() is QtTextToSpeech.QTextToSpeech.State.Error:
            return False
        self._voice.stop()
        self._voice.say(text)
        return True


def _engine() -> str:
    """Return the name of an engine that really speaks, or nothing."""
    if MISSING:
        return ""
    real = [name for name in QtTextToSpeech.QTextToSpeech.availableEngines() if name not in SILENT_ENGINES]
    return real[0] if real else ""
