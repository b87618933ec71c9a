"""Follows the machine's time zone in the times shown, and lets the bay watch the clock; no wait moves."""

from collections.abc import Callable
from datetime import datetime, tzinfo

from PySide6.QtCore import QObject, QTimer

from bayapp.bay import Bay
from bayapp.pages.selection import Selection

WATCH_MS = 5_000

ZoneNow = Callable[[], tzinfo]


class TimeZoneWatch(QObject):
    """Checks every few seconds; ``zone_now`` returns the machine's time zone, None if it is not to be followed."""

    def __init__(self, bay: Bay, selection: Selection, zone_now: ZoneNow | None, parent: QObject) -> None:
        super().__init__(parent)
        self._bay, self._selection, self._zone_now = bay, selection, zone_now
        self._timer = QTimer(self)
        self._timer.setInterval(WATCH_MS)
        self._timer.timeout.connect(self.watch)
        self._timer.start()

    def stop(self) -> None:
        """Stop checking."""
        self._timer.stop()

    def watch(self) -> None:
        """Check whether the machine's clock or time zone was changed, and record a heartbeat."""
        was = self._selection.tz
        try:
            became = self._zone_now() if self._zone_now else was
        except (LookupError, OSError, ValueError):  # the machine names a zone that there is no data of
            became = was
        if _differ(became, was, self._bay.now()):
            self._bay.clock_watch.time_zone_changed(str(was), str(became))
            self._selection.set_time_zone(became)
        self._bay.clock_watch.watch()


def _differ(one: tzinfo, other: tzinfo, at: datetime) -> bool:
    """Whether two time zones differ in name or present offset; some machines give no name."""
    return str(one) != str(other) or at.astimezone(one).utcoffset() != at.astimezone(other).utcoffset()
