"""Whether there is a screen to fill, and the size it says it has. Knows no window."""

from typing import cast

from PySide6.QtGui import QGuiApplication


def display_report() -> tuple[bool, str]:
    """Return whether the screen can be used, and a sentence about it. Makes a Qt application where there is none.

    Qt ends the whole process where the display cannot be reached: call this in a process of its own.
    """
    application = cast(QGuiApplication, QGuiApplication.instance() or QGuiApplication([]))
    screen = application.primaryScreen()
    if not screen:
        return False, "No screen is switched on; look at its cable and its power."
    pixels, size = screen.size(), screen.physicalSize()
    told = f"{pixels.width()}×{pixels.height()} pixels, {size.width():.0f}×{size.height():.0f} mm by its own word"
    if size.width() < 1 or size.height() < 1:
        return False, f"{told}; it does not tell its size: set the millimetres in the settings."
    return True, f"{told}; measure it once, and correct the millimetres in the settings if that is wrong."
