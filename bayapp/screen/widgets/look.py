"""What every widget shares: palette and measure, set once and changed together."""

from dataclasses import dataclass

from bayapp.drawing.palette import Palette, next_theme
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
        """Change to the next theme."""
        self.palette = next_theme(self.palette.name)
