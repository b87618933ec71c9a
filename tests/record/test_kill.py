"""Power and process may go at any instant: what was shown as accepted is in the journal afterwards."""

import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from bayapp.job.state.events import StepStarted
from bayapp.record import open_journal
from bayapp.record.integrity import check
from tests.record import kill_child

MOST_TOUCHES = 20
LONGEST_LIFE_S = 0.01
SEED = 20261125


def run_and_kill(store: Path, run: int, chance: random.Random) -> list[str]:
    """Start a child, kill it at a random instant, and return the complete lines that it had printed.

    Two in three live for some touches and a moment more; the third dies wherever it happens to be, also while
    it is still opening the store.
    """
    with subprocess.Popen(
        [sys.executable, kill_child.__file__, str(store), str(run)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout is not None
        first = [child.stdout.readline() for _ in range(chance.randint(1, MOST_TOUCHES) if run % 3 else 0)]
        life = chance.uniform(0, LONGEST_LIFE_S if run % 3 else 1.0)
        with pytest.raises(subprocess.TimeoutExpired):
            child.wait(timeout=life)
        child.send_signal(signal.SIGKILL)
        printed = "".join(first) + child.stdout.read()
        assert child.wait() == -signal.SIGKILL
    return [line for line in printed.splitlines(keepends=True) if line.endswith("\n")]


@pytest.mark.parametrize("kills", [6, pytest.param(50, marks=pytest.mark.slow)])
def test_nothing_shown_as_accepted_is_lost_when_the_process_is_killed(tmp_path, kills):
    chance = random.Random(SEED)
    store = tmp_path / "store"
    shown: dict[str, list[int]] = {}
    for run in range(1, kills + 1):
        for line in run_and_kill(store, run, chance):
            word, *rest = line.split()
            assert word in ("open", "accepted"), line
            if rest:
                shown[rest[0]] = [int(seq) for seq in rest[1:]]

    assert check(store) == ()
    journal = open_journal(store, write=False)
    entries = {entry.seq: entry.event for entry in journal.entries()}
    journal.close()
    recorded: dict[str, list[int]] = {}
    for seq, event in entries.items():
        assert isinstance(event, StepStarted)
        recorded.setdefault(event.touch, []).append(seq)
    assert len(shown) > kills, "the children hardly lived; the test shows nothing"
    assert {touch: recorded.get(touch) for touch in shown} == shown
    assert {len(seqs) for seqs in recorded.values()} == {3}, "a touch is recorded whole or not at all"
    assert len(recorded) - len(shown) <= kills, "only the touch under way at a kill may be on disk and not shown"
