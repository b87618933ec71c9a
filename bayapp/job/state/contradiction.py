"""Two sources of the bay's air that contradict each other, as data."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

HUMIDITY = "rh_percent"


@dataclass(frozen=True, slots=True)
class SensorValues:
    """What a sensor says now, under the names of a reading (°C, % relative humidity), and how far off it may be."""

    id: str
    name: str
    values: Mapping[str, float]
    tolerances: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two sensors, in the order of the settings, that have differed in one quantity since an instant."""

    first: SensorValues
    second: SensorValues
    quantity: str
    since: datetime

    @property
    def pair(self) -> tuple[str, str, str]:
        """What identifies it: the two sensors and the quantity."""
        return self.first.id, self.second.id, self.quantity

    @property
    def values(self) -> tuple[float, float]:
        """What the two say."""
        return self.first.values[self.quantity], self.second.values[self.quantity]

    @property
    def excess(self) -> float:
        """How many times as far as both their tolerances allow the two differ; above 1 they contradict each other."""
        allowed = self.first.tolerances[self.quantity] + self.second.tolerances[self.quantity]
        return abs(self.values[0] - self.values[1]) / allowed
