"""Keeps what the sources say, in whatever thread, until it is taken in: of each sensor and quantity the newest.

A sensor may send faster than the wall takes in, or a broker may pour out what it kept; then the oldest is dropped.
"""

import threading
from collections import deque
from itertools import count

from bayapp.files.shop.sensor_settings import Quantity
from bayapp.sensing.message import SensorMessage

MOST_KEPT = 600
"""Messages of one sensor and quantity: a sensor that was cut off may send its last ten minutes of seconds at once."""

_Key = tuple[str, Quantity | None]


class Inbox:
    """The messages that came since they were taken in last."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._number = count()
        self._kept: dict[_Key, deque[tuple[int, SensorMessage]]] = {}

    def put(self, message: SensorMessage) -> None:
        """Keep a message; of what is wrong with a sensor only the newest words."""
        most = 1 if message.quantity is None else MOST_KEPT
        with self._lock:
            kept = self._kept.setdefault((message.sensor, message.quantity), deque(maxlen=most))
            kept.append((next(self._number), message))

    def take(self) -> list[SensorMessage]:
        """Return what is kept, in the order in which it came, and keep it no more."""
        with self._lock:
            taken, self._kept = self._kept, {}
        came = sorted((one for kept in taken.values() for one in kept), key=_number_of)
        return [message for _number, message in came]


def _number_of(numbered: tuple[int, SensorMessage]) -> int:
    return numbered[0]
