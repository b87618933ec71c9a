"""Tables of older versions brought up to date, newer ones refused."""

import json

import pytest

from bayapp.record import StoreProblem, open_journal
from bayapp.record.chain import canonical
from bayapp.record.findings import Upgraded
from bayapp.record.integrity import check
from bayapp.record.schema import CURRENT, MIGRATIONS
from bayapp.record.store import BACKUPS
from tests.record.samples import STAMP, at, bare, finished, opened, started, version_1


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
    assert journal.last_heartbeat() == (at(5), STAMP)
    assert journal.append((finished(),), STAMP) == (3,)
    journal.close()
    with bare(tmp_path) as other:
        assert other.execute("SELECT version FROM schema_version").fetchall() == [(CURRENT,)]


def test_the_sign_of_life_of_a_store_of_version_3_is_kept(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"),), STAMP)
    journal.heartbeat(at(5), STAMP)
    journal.close()
    with bare(tmp_path) as other:
        other.execute("ALTER TABLE heartbeat DROP COLUMN checksum")
        other.execute("UPDATE schema_version SET version = 3")
    journal = open_journal(tmp_path)
    assert journal.last_heartbeat() == (at(5), STAMP)
    journal.close()
    assert check(tmp_path) == ()


def test_who_opens_an_older_store_is_told_once_that_it_was_upgraded_and_where_the_copy_lies(tmp_path):
    version_1(tmp_path)
    journal = open_journal(tmp_path)
    (said,) = journal.noticed
    assert isinstance(said, Upgraded)
    assert said.backup in said.words
    assert (tmp_path / BACKUPS / said.backup).is_file()
    journal.close()
    again = open_journal(tmp_path)
    assert again.noticed == ()
    again.close()


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


def test_the_entries_of_an_older_store_are_chained_and_say_what_they_said(tmp_path):
    version_1(tmp_path)
    with bare(tmp_path) as other:
        was = other.execute("SELECT seq, at_ms, name, job, boot_id, boot_ms, wall_ms, body FROM journal").fetchall()
    open_journal(tmp_path).close()
    assert check(tmp_path) == ()
    with bare(tmp_path) as other:
        now = other.execute("SELECT seq, at_ms, name, job, boot_id, boot_ms, wall_ms, body FROM journal").fetchall()
    assert [row[:-1] for row in now] == [row[:-1] for row in was]
    assert [json.loads(row[-1]) for row in now] == [json.loads(row[-1]) for row in was]
    assert all(row[-1] == canonical(row[-1]) for row in now)


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        ("DELETE FROM journal WHERE seq = 1", "(?i)entry 1 is missing"),
        ("UPDATE journal SET body = '{'", "(?i)entry 1 is no event"),
    ],
)
def test_an_older_store_whose_entries_cannot_be_chained_is_left_as_it_is(tmp_path, spoilt, words):
    version_1(tmp_path)
    with bare(tmp_path) as other:
        other.execute(spoilt)
    before = shape(tmp_path)
    with pytest.raises(StoreProblem, match=words):
        open_journal(tmp_path)
    assert shape(tmp_path) == before


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
