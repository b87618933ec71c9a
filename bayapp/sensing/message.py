"""What a sensor's source passes on: one number, or why there is none."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from bayapp.files.shop.sensor_settings import Quantity


@dataclass(frozen=True, slots=True)
class SensorMessage:
    """One number of one sensor, or why there is none.

    Attributes:
        read_at: when it was measured, where the sensor says so.
        trouble: the machine's own words for what is wrong; empty beside a number.
    """

    sensor: str
    quantity: Quantity | None = None
    value: float = 0.0
    read_at: datetime | None = None
    trouble: str = ""


OnMessage = Callable[[SensorMessage], None]
"""Takes each message of a source; called from any thread."""
