"""A file that is damaged around its entries is built anew from them; one with a damaged entry is left as it is."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bayapp.record import DamagedStore, open_journal
from bayapp.record.findings import FileDamaged
from bayapp.record.integrity import check
from bayapp.record.mending import mend
from tests.record.damage import FILE, PAGE, Kept, keep_stores
from tests.record.samples import STAMP, started


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    return keep_stores(tmp_path_factory.mktemp("kept"))["closed"]


@pytest.fixture
def store(tmp_path: Path, kept: Kept) -> Path:
    """A store whose index of jobs was lost by its disk."""
    for path in kept.folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    with closing(sqlite3.connect(tmp_path / FILE)) as other:
        found = other.execute("SELECT rootpage FROM sqlite_master WHERE name = 'ix_journal_job'").fetchone()
    content = bytearray((tmp_path / FILE).read_bytes())
    content[(found[0] - 1) * PAGE : found[0] * PAGE] = bytes(PAGE)
    (tmp_path / FILE).write_bytes(content)
    return tmp_path


def test_a_lost_index_keeps_a_journal_from_being_read_until_it_is_mended(store: Path, kept: Kept):
    assert {type(finding) for finding in check(store)} == {FileDamaged}
    with closing(open_journal(store)) as journal, pytest.raises(DamagedStore):
        journal.read_open()
    damaged = mend(store)
    assert damaged is not None
    assert damaged.exists(), "the damaged one is kept aside"
    assert check(store) == ()
    with closing(open_journal(store)) as journal:
        assert journal.noticed == ()
        assert journal.read() == kept.events
        assert journal.read_open() == kept.present
        seen = journal.last_heartbeat()
        assert seen is not None
        assert seen[0] == kept.alive_at[0]
        assert journal.append((started("car-11", 9_002),), STAMP) == (len(kept.events) + 1,)
    assert [path.name for path in store.iterdir() if path.name.startswith(".")] == []


def test_a_journal_that_is_whole_or_has_a_damaged_entry_is_left_as_it_is(store: Path, kept: Kept):
    assert mend(kept.folder) is None
    (store / FILE).write_bytes((kept.folder / FILE).read_bytes())
    with closing(sqlite3.connect(store / FILE, isolation_level=None)) as other:
        other.execute("UPDATE journal SET wall_ms = 1 WHERE seq = 4")
    before = (store / FILE).read_bytes()
    assert mend(store) is None
    assert (store / FILE).read_bytes() == before
