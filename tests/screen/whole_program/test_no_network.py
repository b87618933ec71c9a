"""The whole program and all that it starts open no socket of a network, unless a sensor is switched on."""

import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from bayapp.paths import resource
from tests.screen.whole_program.display import until

ROOT = Path(__file__).parents[3]
JOB = resource("practice", "practice-job.toml")
PLANS = "plan-follow"
LOCAL = {"AF_UNIX"}
SENSOR = """format = "bayapp-settings/1"
[[sensor]]
id = "hall"
name = "hall"
kind = "mqtt"
host = "127.0.0.1"
port = 1
topic = [{ topic = "bay/air", gives = "air_c" }]
"""

pytestmark = pytest.mark.skipif(shutil.which("strace") is None, reason="needs strace")


def sockets_opened(store: Path, wanted: str) -> set[str]:
    """Run the program until its planner has begun and ``wanted`` has been seen; return the families of its sockets.

    With -D strace is the program's descendant, so that a signal reaches the program.
    """
    trace = store.with_name("trace")
    program = [sys.executable, "-m", "bayapp", "--store", str(store), "--job", str(JOB), "--kiosk"]
    command = ["strace", "-D", "-f", "-qq", "-s", "200", "-e", "trace=socket,execve", "-o", str(trace), *program]
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}

    def seen() -> bool | None:
        said = trace.read_text(errors="replace") if trace.exists() else ""
        return (PLANS in said and wanted in said) or None

    with subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.DEVNULL) as process:
        try:
            until(seen, f"the planner and {wanted!r}")
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(timeout=30)
    return set(re.findall(r"socket\((\w+)", trace.read_text(errors="replace")))


def test_without_sensors_no_socket_but_those_of_this_machine_is_opened(tmp_path: Path):
    assert sockets_opened(tmp_path / "store", PLANS) <= LOCAL


@pytest.mark.slow
def test_a_sensor_at_a_broker_opens_one_and_that_is_seen(tmp_path: Path):
    (tmp_path / "store").mkdir()
    (tmp_path / "store" / "settings.toml").write_text(SENSOR, encoding="utf-8")
    assert "AF_INET" in sockets_opened(tmp_path / "store", "socket(AF_INET")
