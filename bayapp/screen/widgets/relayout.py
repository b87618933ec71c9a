"""Lets every part of a window find its place anew: after another measure, another language."""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.text.language import _


def lay_out_anew(window: QWidget) -> None:
    """Tell the window and then everything in it that its size was set, also where it is the same as before."""
    for widget in (window, *window.findChildren(QWidget)):
        QCoreApplication.sendEvent(widget, QResizeEvent(widget.size(), widget.size()))
        widget.update()


def tell_anew(window: QWidget, source: Callable[[str], str]) -> None:
    """Let the buttons that always say the same say it in the language spoken now.

    ``source`` turns what they say back into the program's own sentence, as ``language.back_to_source`` gave it before.
    """

    def turn(spoken: str) -> str:
        return _(source(spoken)) if spoken else ""

    for button in window.findChildren(GloveButton):
        button.retell(turn)
    lay_out_anew(window)
