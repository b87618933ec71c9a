"""The time zone of the machine, which may be changed while the program runs."""

import pytest

from bayapp.time_zone import local_zone


def test_the_machines_time_zone_is_read_anew_each_time(monkeypatch: pytest.MonkeyPatch):
    try:
        for name in ("Europe/Berlin", "America/New_York"):
            monkeypatch.setenv("TZ", name)
            assert str(local_zone()) == name
    finally:
        monkeypatch.undo()
        local_zone()
