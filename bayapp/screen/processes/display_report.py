"""Whether there is a screen to fill, and the size it says it has."""

from typing import cast

from PySide6.QtGui import QGuiApplication

from bayapp.screen.processes.awake import awake_report
from bayapp.text.language import _


def display_report() -> tuple[bool, str]:
    """Return whether the screen can be used, and a sentence about it. Makes a Qt application if there is none.

    Qt ends the whole process if the display cannot be reached: call this in a separate process.
    """
    application = cast(QGuiApplication, QGuiApplication.instance() or QGuiApplication([]))
    screen = application.primaryScreen()
    if not screen:
        return False, _("No screen is switched on; look at its cable and its power.")
    pixels, size = screen.size(), screen.physicalSize()
    reported = _("{across}×{down} pixels, {wide:.0f}×{high:.0f} mm by its own word").format(
        across=pixels.width(), down=pixels.height(), wide=size.width(), high=size.height()
    )
    if size.width() < 1 or size.height() < 1:
        return False, _("{told}; it does not tell its size: set the millimetres in the settings.").format(told=reported)
    right = _("{told}; measure it once, and correct the millimetres in the settings if that is wrong.").format(
        told=reported
    )
    return True, f"{right} {awake_report()}"
