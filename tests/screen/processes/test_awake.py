"""The screen is kept lit by the desktop's saver, and given back; the saver here is a process on a bus of its own.

The interface is freedesktop.org's idle inhibition service: Inhibit(s, s) gives a uint32, UnInhibit takes it back.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screen.processes.desktop_saver import COOKIE

ROOT = Path(__file__).parents[3]
KEEP = """
from PySide6.QtCore import QCoreApplication
from bayapp.screen.processes.awake import Awake, awake_report
app = QCoreApplication([])
print(awake_report())
awake = Awake()
for wanted in (True, True, False, False, True):
    awake.keep(wanted)
"""
WALL = """
from PySide6.QtCore import QTimer
from bayapp.screen import app
app.finish_start = lambda *board: QTimer.singleShot(0, app.QApplication.quit)
app.run(None, app.WallOptions(practice=True))
"""


def run(environment: dict[str, str], code: str = KEEP) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


@pytest.fixture
def bus(tmp_path: Path) -> Iterator[dict[str, str]]:
    """A session bus of its own; without the program, the test says so."""
    if shutil.which("dbus-daemon") is None:
        pytest.skip("dbus-daemon is not installed")
    command = ["dbus-daemon", "--session", "--nofork", "--print-address", f"--address=unix:path={tmp_path / 'bus'}"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as daemon:
        assert daemon.stdout
        address = daemon.stdout.readline().strip()
        left = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
        yield {**left, "DBUS_SESSION_BUS_ADDRESS": address}
        daemon.kill()


def asked(bus: dict[str, str], count: int, code: str = KEEP) -> tuple[str, list[str]]:
    """Run a program beside a saver; return what it says and what the saver was asked."""
    command = [sys.executable, "-m", "tests.screen.processes.desktop_saver"]
    with subprocess.Popen(command, cwd=ROOT, env=bus, stdout=subprocess.PIPE, text=True) as saver:
        try:
            assert saver.stdout
            assert saver.stdout.readline() == "ready\n"
            said = run(bus, code)
            return said, [saver.stdout.readline().strip() for _ in range(count)]
        finally:
            saver.kill()


def test_the_desktops_saver_is_held_off_once_and_let_go_by_its_own_number(bus: dict[str, str]):
    said, heard = asked(bus, 3)
    assert said == "The desktop keeps it awake while a car is in the bay.\n"
    assert heard == ["inhibit bayapp", f"uninhibit {COOKIE}", "inhibit bayapp"]


def test_the_wall_screen_lets_the_saver_go_when_it_ends(bus: dict[str, str], tmp_path: Path):
    _, heard = asked({**bus, "HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}, 2, WALL)
    assert heard == ["inhibit bayapp", f"uninhibit {COOKIE}"]


def test_a_bus_without_a_saver_is_no_error_and_is_reported(bus: dict[str, str]):
    assert "Nothing here can keep it awake" in run(bus)


def test_no_bus_at_all_is_no_error_and_is_reported(bus: dict[str, str]):
    assert "Nothing here can keep it awake" in run({**bus, "DBUS_SESSION_BUS_ADDRESS": "unix:path=/nowhere"})
