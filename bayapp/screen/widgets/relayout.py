"""Lays out a window again after a change of measure or language."""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.screen.widgets.glove_button import GloveButton
from bayapp.text.language import _


def relayout(window: QWidget) -> None:
    """Send a resize event to the window and everything in it, also if the size is unchanged."""
    for widget in (window, *window.findChildren(QWidget)):
        QCoreApplication.sendEvent(widget, QResizeEvent(widget.size(), widget.size()))
        widget.update()


def retranslate(window: QWidget, source: Callable[[str], str]) -> None:
    """Translate the buttons whose words never change into the present language.

    ``source`` translates their words back into English; see ``language.back_to_source``.
    """

    def translated(spoken: str) -> str:
        return _(source(spoken)) if spoken else ""

    for button in window.findChildren(GloveButton):
        button.retranslate(translated)
    relayout(window)
