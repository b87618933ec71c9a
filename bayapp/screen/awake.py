"""Keeps the screen from sleeping while a car is in the bay. Knows no job."""

from PySide6.QtCore import QProcess


class Awake:
    """Asks the desktop to keep the screen lit, by the X server's own saver where there is one.

    A machine without ``xset`` (Wayland, a kiosk without a saver) is left as it is set up.
    """

    def __init__(self) -> None:
        self._kept = False

    def keep(self, wanted: bool) -> None:
        """Keep the screen lit, or let it sleep again."""
        if wanted == self._kept:
            return
        self._kept = wanted
        for words in (["s", "off" if wanted else "on"], ["-dpms" if wanted else "+dpms"]):
            QProcess.startDetached("xset", words)
