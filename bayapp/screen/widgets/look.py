"""The palette and measure that all widgets of a window share."""

from dataclasses import dataclass, field

from bayapp.drawing.palette import PALETTES, Palette
from bayapp.screen.widgets.fingers import Fingers
from bayapp.screen.widgets.measure import Measure


@dataclass
class Look:
    """The theme and the size of a millimetre, shared by every widget of one window.

    Attributes:
        fingers: those that come down on the window.
    """

    palette: Palette
    measure: Measure
    fingers: Fingers = field(default_factory=Fingers)

    def mm(self, millimetres: float) -> float:
        """Return pixels for millimetres."""
        return self.measure.px(millimetres)

    def measure_by(self, measure: Measure) -> None:
        """Take a millimetre for this large from now on."""
        self.measure = measure

    def use_theme(self, name: str) -> None:
        """Change to the theme of this name; a KeyError if there is none."""
        self.palette = PALETTES[name]
