"""The palette and measure that all widgets of a window share."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF

from bayapp.drawing.palette import PALETTES, Palette
from bayapp.screen.widgets.measure import Measure


@dataclass
class Look:
    """The theme and the size of a millimetre, shared by every widget of one window.

    Attributes:
        touched: where on the screen the last finger came down; None before the first.
    """

    palette: Palette
    measure: Measure
    touched: QPointF | None = None

    def mm(self, millimetres: float) -> float:
        """Return pixels for millimetres."""
        return self.measure.px(millimetres)

    def measure_by(self, measure: Measure) -> None:
        """Take a millimetre for this large from now on."""
        self.measure = measure

    def use_theme(self, name: str) -> None:
        """Change to the theme of this name; a KeyError if there is none."""
        self.palette = PALETTES[name]
