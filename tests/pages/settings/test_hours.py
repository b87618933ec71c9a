"""Where edges of the working hours may be moved to; that they are saved and read back: test_settings.py."""

from datetime import time

import pytest

from bayapp.files.shop.hours import DAY_ENDS, WorkingHours
from bayapp.files.shop.settings import Settings
from bayapp.pages.settings.hours import HourEdge, hour_moved


@pytest.mark.parametrize(
    ("key", "way", "becomes"),
    [
        (HourEdge(0), 1, "08:15-12:00 12:00-24:00"),
        (HourEdge(0), -1, "07:45-12:00 12:00-24:00"),
        (HourEdge(1), -1, "08:00-11:45 12:00-24:00"),
        (HourEdge(1), 1, "08:00-12:00 12:00-24:00"),
        (HourEdge(2), -1, "08:00-12:00 12:00-24:00"),
        (HourEdge(2), 1, "08:00-12:00 12:15-24:00"),
        (HourEdge(3), 1, "08:00-12:00 12:00-24:00"),
        (HourEdge(3), -1, "08:00-12:00 12:00-23:45"),
    ],
)
def test_hours_move_by_quarters_and_stop_at_their_neighbours(key: HourEdge, way: int, becomes: str):
    now = Settings(hours=(WorkingHours(time(8), time(12)), WorkingHours(time(12), DAY_ENDS)))
    assert " ".join(map(str, hour_moved(now, key, way).hours)) == becomes


def test_an_odd_time_moves_to_the_next_quarter():
    now = Settings(hours=(WorkingHours(time(8, 7), time(12)),))
    assert str(hour_moved(now, HourEdge(0), 1).hours[0]) == "08:15-12:00"
    assert str(hour_moved(now, HourEdge(0), -1).hours[0]) == "08:00-12:00"
