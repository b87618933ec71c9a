"""What a source passes on: a number as it was told, or its trouble."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from bayapp.files.shop.sensor_settings import Quantity


@dataclass(frozen=True, slots=True)
class Told:
    """One number of one sensor, or why there is none.

    ``read_at`` is when it was measured, where the sensor says so; ``trouble`` is the machine's own words.
    """

    sensor: str
    quantity: Quantity | None = None
    value: float = 0.0
    read_at: datetime | None = None
    trouble: str = ""


Hear = Callable[[Told], None]
"""Takes what a source tells; called from any thread."""
