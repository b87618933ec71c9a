"""Lets every part of a window find its place anew: after another measure, another language. Knows no part."""

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget


def lay_out_anew(window: QWidget) -> None:
    """Tell the window and then everything in it that its size was set, also where it is the same as before."""
    for widget in (window, *window.findChildren(QWidget)):
        QCoreApplication.sendEvent(widget, QResizeEvent(widget.size(), widget.size()))
        widget.update()
