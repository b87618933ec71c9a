"""The real program and real clocks over two boots of one machine: another boot id, uptime and wall clock.

A mount namespace holds another ``boot_id``, a time namespace another uptime, and libfaketime another wall clock; where
this machine lacks one of them, the test that needs it is skipped and says so.
"""

import json
import os
import shutil
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bayapp.clock import BOOT_ID_FILE

ROOT = Path(__file__).parents[2]
LIBRARIES = Path(os.environ.get("FAKETIME_ROOT", "/usr/lib"))
FAKETIME = sorted(map(str, LIBRARIES.glob("*/faketime/libfaketime.so.1")))
UP = 90  # seconds
SECOND, MINUTE = timedelta(seconds=1), timedelta(minutes=1)
UNSHARE = ["unshare", "--mount", "--time", "--boottime"]


def may_unshare() -> bool:
    if sys.platform != "linux" or not shutil.which("unshare"):
        return False
    return subprocess.run([*UNSHARE, "0", "true"], capture_output=True, check=False).returncode == 0


pytestmark = pytest.mark.skipif(not may_unshare(), reason="no right to namespaces for mounts and time here")
with_faketime = pytest.mark.skipif(not FAKETIME, reason="libfaketime is not installed")


def in_boot(tmp_path: Path, number: int, act: str, ahead: str = "") -> dict[str, Any]:
    """Run the child in a boot that is a minute and a half old at first; ``ahead``: by what its wall clock is off."""
    named, shifted = tmp_path / f"boot-{number}", tmp_path / f"uptime-{number}"
    named.write_text(f"00000000-0000-4000-8000-00000000000{number}\n")
    if not shifted.exists():
        shifted.write_text(str(UP - round(float(Path("/proc/uptime").read_text().split()[0]))))
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    if ahead:
        env |= {"LD_PRELOAD": FAKETIME[0], "FAKETIME": ahead, "FAKETIME_DONT_FAKE_MONOTONIC": "1"}
    child = [sys.executable, str(ROOT / "tests" / "bay" / "boot_child.py"), str(tmp_path / "store"), act]
    script = f'mount --bind "{named}" {BOOT_ID_FILE} && exec "$@"'
    offset = shifted.read_text()
    ran = subprocess.run(
        [*UNSHARE, offset, "sh", "-c", script, "sh", *child], env=env, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    found: dict[str, Any] = json.loads(ran.stdout)
    for key in ("now", "machine"):
        found[key] = datetime.fromisoformat(found[key])
    return found


def passed(before: dict[str, Any], after: dict[str, Any]) -> timedelta:
    """Return how much time has passed by the board."""
    found: timedelta = after["now"] - before["now"]
    return found


@with_faketime
def test_a_machine_that_comes_back_with_its_clock_ahead_opens_no_wait(tmp_path: Path):
    first = in_boot(tmp_path, 1, "wipe")
    assert first["refused"] == "early"
    second = in_boot(tmp_path, 2, "look", ahead="+2h")
    assert second["asks"]
    assert second["refused"] == "clock"
    assert second["machine"] - first["machine"] > timedelta(hours=2)
    assert passed(first, second) < timedelta(seconds=second["on_for_s"] + 30)
    third = in_boot(tmp_path, 3, "unknown", ahead="+2h")
    assert third["refused"] == "early"
    assert not third["asks"]


@pytest.mark.slow
@with_faketime
def test_a_clock_ten_years_ahead_does_not_stick(tmp_path: Path):
    first = in_boot(tmp_path, 1, "wipe")
    assert in_boot(tmp_path, 2, "look", ahead="+3650d")["asks"]
    third = in_boot(tmp_path, 3, "machine", ahead="+20m")
    assert not third["asks"]
    assert 20 * MINUTE < passed(first, third) < 30 * MINUTE, "by the machine's clock, which is plausible again"
    assert third["refused"] == "early"


@pytest.mark.slow
def test_another_boot_without_a_time_service_asks_and_counts_what_the_machine_has_been_on(tmp_path: Path):
    first = in_boot(tmp_path, 1, "wipe")
    second = in_boot(tmp_path, 2, "look")
    if second["by_service"]:
        pytest.skip("a time service sets this machine's clock")
    assert second["asks"]
    assert passed(first, second) >= UP * SECOND - 2 * SECOND
    third = in_boot(tmp_path, 2, "look")
    assert third["asks"], "the same boot asks on"


@pytest.mark.slow
def test_a_start_within_the_same_boot_asks_nothing(tmp_path: Path):
    in_boot(tmp_path, 1, "wipe")
    again = in_boot(tmp_path, 1, "look")
    assert (again["asks"], again["refused"]) == (False, "early")
