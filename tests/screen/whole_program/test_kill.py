"""The running wall program may be killed at any instant: all that its board showed as accepted is in the journal."""

import os
import random
import signal
import subprocess
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bayapp.job import clocks, fold
from bayapp.job.state.events import JobOpened, StepFinished, StepStarted
from bayapp.record import open_journal
from bayapp.record.bodies import to_body
from bayapp.record.integrity import check
from tests.screen.whole_program.programs import BoardProgram
from tests.screen.whole_program.stores import MINUTE, store_with_a_wait
from tests.screen.whole_program.taps_job import write_job

MOST_TOUCHES = 5
LONGEST_DELAY_S = 0.08
SEED = 20261125


class Lives:
    """Many lives of the program on one store; the next one always loads while this one lives."""

    def __init__(self, store: Path, job: Path) -> None:
        self.store, self.job = store, job
        # As it is where the program is installed: modules are compiled once, not in every life.
        self.environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        self.environment["PYTHONPYCACHEPREFIX"] = str(store.with_name("bytecode"))
        self.chance = random.Random(SEED)
        self.shown: list[str] = []
        self._next = self._prepared()

    def _prepared(self) -> BoardProgram:
        return BoardProgram(self.store, self.job, "--silent", environment=self.environment)

    def live_and_die(self) -> None:
        """Compare the board with the journal, tap, be killed by SIGKILL, and keep what had been shown by then."""
        program, self._next = self._next, self._prepared()
        with program:
            self._tap_and_die(program)

    def _tap_and_die(self, program: BoardProgram) -> None:
        self._compare(program.open())
        program.say("taps")
        lines = [program.wait_for("shown") for _ in range(self.chance.randint(0, MOST_TOUCHES))]
        with pytest.raises(subprocess.TimeoutExpired):
            program.process.wait(timeout=self.chance.uniform(0, LONGEST_DELAY_S))
        program.process.send_signal(signal.SIGKILL)
        more, errors = program.rest()
        assert program.process.returncode == -signal.SIGKILL
        assert errors == ""
        for line in [*lines, *more]:
            assert line["event"] == "shown", line
            self.shown += line["events"]

    def _compare(self, board: dict[str, str]) -> None:
        """The board's clocks are those of a fold of the whole journal, read by another connection."""
        at, state = datetime.fromisoformat(board["at"]), fold(bodies_and_events(self.store)[1])
        assert board["clocks"] == repr(clocks(state, at))
        assert board["last_at"] == repr(state.last_at)

    def __enter__(self) -> "Lives":
        return self

    def __exit__(self, *trouble: object) -> None:
        self._next.__exit__(*trouble)

    def end(self) -> None:
        """Open once more, compare, and close as a person would."""
        self._compare(self._next.open())
        self._next.say("end")
        assert self._next.rest() == ([], "")
        assert self._next.process.returncode == 0


def bodies_and_events(store: Path):
    journal = open_journal(store, write=False)
    events = journal.read()
    journal.close()
    return [to_body(event) for event in events], events


@pytest.mark.timeout(300)
@pytest.mark.parametrize("kills", [6, pytest.param(50, marks=pytest.mark.slow)])
def test_nothing_shown_is_lost_or_doubled_when_the_program_is_killed_again_and_again(tmp_path, kills):
    store = tmp_path / "store"
    with Lives(store, write_job(tmp_path, datetime(2026, 11, 25, 8, tzinfo=UTC))) as lives:
        for _ in range(kills):
            lives.live_and_die()
        lives.end()

    assert check(store) == ()
    bodies, events = bodies_and_events(store)
    recorded = Counter(bodies)
    assert len(lives.shown) > 3 * kills, "the programs hardly lived; the test shows nothing"
    assert [body for body in lives.shown if recorded[body] != 1] == []
    begun = Counter((e.zone, e.step) for e in events if isinstance(e, StepStarted))
    ended = Counter((e.zone, e.step) for e in events if isinstance(e, StepFinished))
    assert set(begun.values()) | set(ended.values()) == {1}, "no step is there twice"
    assert sum(isinstance(e, JobOpened) for e in events) == 1
    unsaid = begun.total() + ended.total() - len(lives.shown)
    assert 0 <= unsaid <= 3 * kills, "only the touch under way at each kill may be on disk without having been shown"
    print(f"{kills} kills, {len(lives.shown)} events shown, {len(bodies)} recorded")


def test_what_came_due_while_the_program_was_dead_is_called_at_once(tmp_path):
    store, job = store_with_a_wait(tmp_path, opens_in=-5 * MINUTE, last_seen=10 * MINUTE)
    with BoardProgram(store, job, "--silent") as program:
        board = program.open()
        program.say("end")
        assert program.rest() == ([], "")
    assert board["band"] == "Came due while the screen was off: Windscreen, coat is ready"


def test_what_had_come_due_before_the_program_died_is_not_called_missed(tmp_path):
    store, job = store_with_a_wait(tmp_path, opens_in=-5 * MINUTE, last_seen=MINUTE)
    with BoardProgram(store, job, "--silent") as program:
        board = program.open()
        program.say("end")
        assert program.rest() == ([], "")
    assert board["band"] == "Windscreen, coat is ready"
