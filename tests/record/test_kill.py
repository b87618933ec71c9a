"""Power and process may go at any instant: what was shown as accepted is in the journal afterwards."""

import json
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from bayapp.job.state.events import StepStarted
from bayapp.record import open_journal
from bayapp.record.integrity import check
from tests.record.kill_child import COPIES, RECORDS

ROOT = Path(__file__).parents[2]
MOST_TOUCHES = {"touches": 20, "backups": 4, "restores": 3, "papers": 3}
LONGEST_LIFE_S = {"touches": 0.01, "backups": 0.03, "restores": 0.05, "papers": 0.1}
SEED = 20261125
KILLS = int(os.environ.get("BAY_SOAK_KILLS", "50"))
"""How many the slow ones make; ``packaging/soak.py`` asks for more."""


def run_and_kill(kind: str, store: Path, run: int, chance: random.Random) -> list[str]:
    """Start a child, kill it at a random instant, and return the complete lines that it had printed.

    Two in three live for some touches and a moment more; the third dies wherever it happens to be, also while
    it is still opening the store.
    """
    command = [sys.executable, "-m", "tests.record.kill_child", str(store), str(run), kind]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        first = [child.stdout.readline() for _ in range(chance.randint(1, MOST_TOUCHES[kind]) if run % 3 else 0)]
        life = chance.uniform(0, LONGEST_LIFE_S[kind] if run % 3 else 1.0)
        with pytest.raises(subprocess.TimeoutExpired):
            child.wait(timeout=life)
        child.send_signal(signal.SIGKILL)
        printed = "".join(first) + child.stdout.read()
        assert child.wait() == -signal.SIGKILL
    return [line for line in printed.splitlines(keepends=True) if line.endswith("\n")]


def whole(file: Path) -> bool:
    """Whether a file that has its name at last is all there."""
    if file.suffix == ".sqlite3":
        return check(f"sqlite:///{file}", alone=True) == ()
    content = file.read_bytes()
    if file.suffix == ".pdf":
        return content.startswith(b"%PDF-") and content.rstrip().endswith(b"%%EOF")
    if file.suffix == ".json":
        json.loads(content)
    return content.endswith(b"\n")


def under_their_names(store: Path) -> Iterable[Path]:
    """Return the copies and papers that somebody would take for whole."""
    for folder in (store / COPIES, store / RECORDS):
        yield from (file for file in folder.glob("*") if file.is_file() and not file.name.startswith("."))


@pytest.mark.parametrize(
    ("kind", "kills"),
    [
        ("touches", 6),
        ("backups", 2),
        ("restores", 2),
        *(pytest.param(kind, KILLS, marks=[pytest.mark.slow, pytest.mark.timeout(0)]) for kind in MOST_TOUCHES),
    ],
)
def test_nothing_shown_as_accepted_is_lost_when_the_process_is_killed(tmp_path: Path, kind: str, kills: int):
    chance = random.Random(SEED)
    store = tmp_path / "store"
    shown: dict[str, list[int]] = {}
    kept: set[Path] = set()
    for run in range(1, kills + 1):
        for line in run_and_kill(kind, store, run, chance):
            word, *rest = line.split()
            assert word in ("open", "accepted", "kept"), line
            if word == "accepted":
                shown[rest[0]] = [int(seq) for seq in rest[1:]]
            elif word == "kept":
                kept.add(Path(rest[0]))
        broken = [file.name for file in under_their_names(store) if not whole(file)]
        assert broken == [], "half a file that somebody would take for whole"
        assert [file.name for file in kept if not file.is_file()] == []
        for aside in store.glob("journal-before-restore-*"):
            aside.unlink()

    assert check(store) == ()
    journal = open_journal(store, write=False)
    entries = {entry.seq: entry.event for entry in journal.entries()}
    journal.close()
    recorded: dict[str, list[int]] = {}
    for seq, event in entries.items():
        if isinstance(event, StepStarted):
            recorded.setdefault(event.touch, []).append(seq)
    assert len(shown) >= kills // 2, "the children hardly lived; the test shows nothing"
    assert {touch: recorded.get(touch) for touch in shown} == shown
    assert {len(seqs) for seqs in recorded.values()} == {3}, "a touch is recorded whole or not at all"
    assert len(recorded) - len(shown) <= kills, "only the touch under way at a kill may be on disk and not shown"
