"""When the board was last painted, seen from inside."""

from collections.abc import Callable
from time import perf_counter

import pytest
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

from bayapp.screen.board.car_view import CarView
from bayapp.screen.board.clock_column import TileButton
from bayapp.screen.widgets.glove_button import GloveButton

PAINTED = (GloveButton, CarView, TileButton)


class Eye:
    """Notes when the last painting of any part of the board was over, and whether the main button was among them."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.seen: set[int] = set()
        self.last = 0.0
        for kind in PAINTED:
            self._watch(patch, kind)

    def _watch(self, patch: pytest.MonkeyPatch, kind: type[QWidget]) -> None:
        paint: Callable[[QWidget, QPaintEvent], None] = kind.paintEvent

        def painted(widget: QWidget, event: QPaintEvent) -> None:
            paint(widget, event)
            self.last = perf_counter()
            self.seen.add(id(widget))

        patch.setattr(kind, "paintEvent", painted)

    def wait_for(self, widget: QWidget) -> float:
        """Return when the round of painting that painted this widget was over."""
        while id(widget) not in self.seen:
            QApplication.processEvents()
        return self.last
