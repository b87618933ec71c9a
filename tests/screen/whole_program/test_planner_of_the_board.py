"""The planner's process of the running wall program: it is there while the board is, and never outlives it."""

import os
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


@pytest.mark.slow
def test_a_planner_that_is_stopped_is_said_on_the_board_and_replaced(tmp_path: Path):
    store = tmp_path / "store"
    with BoardProgram(store, write_job(tmp_path, datetime(2026, 11, 25, 8, tzinfo=UTC)), "--silent") as program:
        program.open()
        program.say("watch")
        (first, *_) = until(lambda: planners(store) or None, "the planner")
        os.kill(first, signal.SIGSTOP)
        program.wait_for_band("The planner stopped")
        program.wait_for_band("The planner stopped", says=False)
        assert first not in planners(store)
        assert planners(store)


@pytest.mark.slow
def test_a_planner_that_was_stopped_does_not_outlive_a_board_that_is_killed(tmp_path: Path):
    store = tmp_path / "store"
    with BoardProgram(store, write_job(tmp_path, datetime(2026, 11, 25, 8, tzinfo=UTC)), "--silent") as program:
        program.open()
        searching = until(lambda: found if len(found := planners(store)) > 1 else None, "a search")
        for process in searching:
            os.kill(process, signal.SIGSTOP)
        program.process.kill()
        until(lambda: True if not planners(store) else None, "the end of the planner")


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
