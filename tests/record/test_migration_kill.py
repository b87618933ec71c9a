"""A program that is killed while it brings an older store up to date loses nothing, wherever it was."""

import os
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from bayapp.record import open_journal
from bayapp.record.backup import DRAFT
from bayapp.record.integrity import check
from bayapp.record.schema import CURRENT
from bayapp.record.store import BACKUPS
from tests.record.samples import bare, opened, started, version_1

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child that begins where the test stands")


def migrated_in_child(store: Path, calls: int) -> int:
    """Migrate in a child that kills itself at its so-manieth call of a function; return how the child ended."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    left = calls

    def count(_frame: object, event: str, _what: object) -> None:
        nonlocal left
        left -= event in ("call", "c_call")
        if left <= 0:
            os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(count)
    try:
        migrate(store)
    finally:
        os._exit(0)  # this copy of the test must not go on with the others


def calls_of_migrating(store: Path) -> int:
    """Return how many calls of functions it takes."""
    made = 0

    def count(_frame: object, event: str, _what: object) -> None:
        nonlocal made
        made += event in ("call", "c_call")

    sys.setprofile(count)
    try:
        migrate(store)
    finally:
        sys.setprofile(None)
    return made


def migrate(store: Path) -> None:
    open_journal(store).close()


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where there is one: a killed process loses nothing that it wrote to either."""
    with tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as folder:
        yield Path(folder)


@pytest.mark.parametrize("kills", [5, pytest.param(200, marks=pytest.mark.slow)])
def test_a_migration_that_is_killed_anywhere_loses_nothing(memory: Path, kills: int):
    def old(name: str) -> Path:
        (memory / name).mkdir()
        version_1(memory / name)
        return memory / name

    migrate(old("warm"))
    calls = calls_of_migrating(old("counted"))
    ended = []
    for kill in range(kills):
        store = old(f"killed-{kill}")
        ended.append(migrated_in_child(store, 1 + calls * kill // kills))
        with bare(store) as other:
            (version,) = other.execute("SELECT version FROM schema_version").fetchone()
        assert version in (1, CURRENT)
        assert version == 1 or list((store / BACKUPS).glob("bayapp-journal-*.sqlite3")), "no step without a backup"
        with closing(open_journal(store)) as journal:
            assert journal.read() == [opened("car"), started("car", 1)]
        (backup,) = (store / BACKUPS).iterdir()
        assert not backup.name.startswith(DRAFT)
        assert check(f"sqlite:///{backup}", alone=True) == ()
    assert ended.count(-signal.SIGKILL) >= kills * 0.9, "the children were not killed; the test shows nothing"
