"""Where and when fingers come down on one window, which a busy window may hear of late."""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

from PySide6.QtCore import QElapsedTimer, QPointF
from PySide6.QtGui import QMouseEvent

OLDEST_MS = 5_000
"""A touch that a window says it hears of later than that has its time from another clock."""
WRAP = 1 << 32
"""An X server counts milliseconds in 32 bits, and begins anew after 49 days (its protocol; from memory)."""
BOUNCE_MS = 240
"""A wet glove back on one spot within this has bounced; who means it is slower (common practice, no source)."""


def now_ms() -> int:
    """Return the milliseconds of the monotonic clock, which also times what an X server or Wayland hears."""
    timer = QElapsedTimer()
    timer.start()
    return timer.msecsSinceReference()


@dataclass(frozen=True, slots=True)
class Finger:
    """One finger that came down.

    Attributes:
        spot: where on the screen.
        at_ms: when, by ``now_ms``.
        dated: the window system said when; else it is taken to have come now.
        stamp: what the window system called the moment.
        way: how far from the finger before, pixels; None for the first.
        after_ms: how long after the finger before; None for the first.
    """

    spot: QPointF
    at_ms: int
    dated: bool
    stamp: int
    way: float | None = None
    after_ms: int | None = None

    def elsewhere(self, reach: float) -> bool:
        """Whether it came down farther than this from the finger before, in pixels."""
        return self.way is not None and self.way > reach

    def bounces(self, reach: float) -> bool:
        """Whether it is the finger before, thrown up by its own touch."""
        return self.after_ms is not None and self.after_ms < BOUNCE_MS and not self.elsewhere(reach)


OWN_MS = 1_500
"""What changes on the wall so soon after a touch, whoever touched expects."""


def _nobody_told(spot: QPointF) -> None:
    """Tell nobody: a widget that stands in no wall."""


class Fingers:
    """The fingers on one window.

    Attributes:
        last: the last one that came down; None before the first.
        not_taken: told where a touch was that nothing takes.
    """

    def __init__(self) -> None:
        self.last: Finger | None = None
        self.not_taken: Callable[[QPointF], None] = _nobody_told

    def down(self, event: QMouseEvent) -> Finger:
        """Note that a finger came down; the same event is noted once."""
        spot, stamp, last = event.globalPosition(), event.timestamp(), self.last
        if last and (last.spot, last.stamp) == (spot, stamp):
            return last
        now = now_ms()
        late = (now - stamp) % WRAP
        at = now - late if late <= OLDEST_MS else now
        way = hypot(spot.x() - last.spot.x(), spot.y() - last.spot.y()) if last else None
        self.last = Finger(spot, at, late <= OLDEST_MS, stamp, way, at - last.at_ms if last else None)
        return self.last

    def expects_change(self) -> bool:
        """Whether somebody has touched just now, and looks for what comes of it."""
        return self.last is not None and now_ms() - self.last.at_ms < OWN_MS
