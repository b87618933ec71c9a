"""The planner's process of the running wall program: it is there while the board is, and never outlives it."""

import signal
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.screen.whole_program.display import until
from tests.screen.whole_program.programs import BoardProgram
from tests.screen.whole_program.taps_job import write_job

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks for processes in /proc")


def planners(store: Path) -> list[int]:
    """Return the planner processes of a store, whoever their parent is."""
    found = []
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            words = (entry / "cmdline").read_bytes().split(b"\0")
            state = (entry / "stat").read_text().rpartition(")")[2].split()[0]
        except OSError:
            continue  # it ended while it was looked at
        if b"plan-follow" in words and f"--store={store}".encode() in words and state != "Z":
            found.append(int(entry.name))
    return found


@pytest.mark.parametrize("how", ["end", "terminate", "kill"])
def test_the_planner_ends_with_the_board_however_that_ends(tmp_path: Path, how: str):
    store = tmp_path / "store"
    with BoardProgram(store, write_job(tmp_path, datetime(2026, 11, 25, 8, tzinfo=UTC)), "--silent") as program:
        program.open()
        until(lambda: planners(store) or None, "the planner")
        if how == "end":
            program.say("end")
        else:
            program.process.send_signal(signal.SIGTERM if how == "terminate" else signal.SIGKILL)
        assert program.rest() == ([], "")
        assert program.process.returncode == (-signal.SIGKILL if how == "kill" else 0)
        if how == "kill":
            until(lambda: True if not planners(store) else None, "the end of the planner")
        assert planners(store) == []
