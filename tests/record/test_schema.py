"""Tables of older versions brought up to date, newer ones refused."""

import sqlite3
from contextlib import closing

import pytest

from bayapp.record import StoreProblem, open_journal
from bayapp.record.bodies import name_of
from bayapp.record.schema import CURRENT, MIGRATIONS
from tests.record.samples import STAMP, at, bare, finished, opened, started

VERSION_1 = """
CREATE TABLE schema_version (version INTEGER NOT NULL);
INSERT INTO schema_version VALUES (1);
CREATE TABLE journal (
    seq INTEGER NOT NULL PRIMARY KEY, at_ms BIGINT NOT NULL, name VARCHAR(60) NOT NULL, job VARCHAR(200),
    body TEXT NOT NULL, boot_id VARCHAR(80) NOT NULL, boot_ms BIGINT NOT NULL, wall_ms BIGINT NOT NULL
);
CREATE INDEX ix_journal_name ON journal (name);
CREATE INDEX ix_journal_job ON journal (job);
"""


def version_1(folder):
    """A store as version 1 wrote it, with two entries."""
    with closing(sqlite3.connect(folder / "journal.sqlite3")) as old, old:
        old.executescript(VERSION_1)
        for seq, event in enumerate((opened("car"), started("car", 1)), 1):
            row = (seq, 1_795_593_600_000, name_of(event), "car", event.model_dump_json(), "boot-0", 7, 8)
            old.execute("INSERT INTO journal VALUES (?, ?, ?, ?, ?, ?, ?, ?)", row)


def shape(folder):
    """Tables and their columns, indexes and theirs."""
    with bare(folder) as other:
        tables = other.execute("SELECT type, name FROM sqlite_master ORDER BY type, name").fetchall()
        columns = {
            name: [(c[1], c[2], c[3], c[5]) for c in other.execute(f"PRAGMA table_info({name})")]
            for kind, name in tables
            if kind == "table"
        }
        return tables, columns


def test_a_store_of_version_1_is_brought_up_to_date_with_all_it_holds(tmp_path):
    version_1(tmp_path)
    journal = open_journal(tmp_path)
    assert journal.read() == [opened("car"), started("car", 1)]
    assert journal.last_heartbeat() is None
    journal.heartbeat(at(5), STAMP)
    assert journal.last_heartbeat() == at(5)
    assert journal.append((finished(),), STAMP) == (3,)
    journal.close()
    with bare(tmp_path) as other:
        assert other.execute("SELECT version FROM schema_version").fetchall() == [(CURRENT,)]


def test_a_migrated_store_has_the_same_tables_as_a_new_one(tmp_path):
    old, new = tmp_path / "old", tmp_path / "new"
    old.mkdir()
    version_1(old)
    open_journal(old).close()
    open_journal(new).close()
    assert shape(old) == shape(new)


def test_a_migration_that_fails_leaves_the_old_version_whole(tmp_path):
    version_1(tmp_path)
    with bare(tmp_path) as other:
        other.execute("CREATE TABLE heartbeat (something TEXT)")  # stands in the way
    with pytest.raises(StoreProblem):
        open_journal(tmp_path)
    with bare(tmp_path) as other:
        assert other.execute("SELECT version FROM schema_version").fetchall() == [(1,)]
        assert other.execute("SELECT count(*) FROM journal").fetchone() == (2,)


def test_a_reader_leaves_an_older_store_alone_and_says_what_to_do(tmp_path):
    version_1(tmp_path)
    with pytest.raises(StoreProblem, match="older bayapp") as problem:
        open_journal(tmp_path, write=False)
    assert "Start the wall screen once" in problem.value.remedy
    with bare(tmp_path) as other:
        assert other.execute("SELECT version FROM schema_version").fetchall() == [(1,)]


@pytest.mark.parametrize("write", [True, False])
def test_a_store_of_a_newer_bayapp_is_refused_and_left_alone(tmp_path, write):
    open_journal(tmp_path).close()
    with bare(tmp_path) as other:
        other.execute("UPDATE schema_version SET version = 99")
    with pytest.raises(StoreProblem, match="newer bayapp"):
        open_journal(tmp_path, write=write)
    with bare(tmp_path) as other:
        assert other.execute("SELECT version FROM schema_version").fetchall() == [(99,)]


def test_there_is_a_step_from_every_older_version():
    assert sorted(MIGRATIONS) == list(range(1, CURRENT))
