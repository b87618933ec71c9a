"""What every widget shares: palette and measure, set once and changed together."""

from dataclasses import dataclass

from bayapp.drawing.palette import PALETTES, Palette
from bayapp.screen.widgets.measure import Measure


@dataclass
class Look:
    """The theme and the size of a millimetre, shared by every widget of one window."""

    palette: Palette
    measure: Measure

    def mm(self, millimetres: float) -> float:
        """Return pixels for millimetres."""
        return self.measure.px(millimetres)

    def swap_theme(self) -> None:
        """Change between the dark and the light theme."""
        self.palette = PALETTES["light" if self.palette.name == "dark" else "dark"]
