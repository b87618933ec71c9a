"""SQLite's own trouble, for real: safe settings, full and read-only disks, damage, foreign files."""

import os
import sqlite3
import subprocess
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import Connection, delete, event, text
from sqlalchemy.exc import OperationalError

from bayapp.record import StoreProblem, open_journal
from bayapp.record.on_sqlite import SAFE, make_safe
from bayapp.record.schema import JOURNAL
from bayapp.record.sql_journal import SqlJournal
from tests.record.samples import STAMP, bare, chain_anew, one_of_each, opened, started


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real disk of 600 kB."""
    if os.geteuid() != 0:
        pytest.skip("only root may mount a small disk")
    place = tmp_path / "disk"
    place.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=600k", "tmpfs", str(place)], check=False).returncode:
        pytest.skip("this system lets nobody mount a small disk")
    yield place
    subprocess.run(["umount", "--lazy", str(place)], check=True)


def append_for_ever(journal: SqlJournal) -> None:
    for number in count():
        journal.append((started("car", number),), STAMP)


def at_each_write(journal: SqlJournal, pragma: str) -> None:
    """Give the writer's connection a setting before it begins to write."""

    @event.listens_for(journal.engine, "begin", insert=True)
    def _set(connection: Connection) -> None:
        connection.exec_driver_sql(pragma)


def test_every_connection_of_the_writer_has_the_safe_settings(tmp_path):
    journal = open_journal(tmp_path)
    with journal.reading() as one, journal.reading() as other:
        assert one.connection.driver_connection is not other.connection.driver_connection
        for connection in (one, other):
            found = {name: connection.execute(text(f"PRAGMA {name}")).scalar_one() for name in SAFE}
            assert found == SAFE
    journal.close()


def test_the_file_itself_says_that_it_is_in_wal_mode(tmp_path):
    open_journal(tmp_path).close()
    with bare(tmp_path) as other:
        assert other.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    header = (tmp_path / "journal.sqlite3").read_bytes()[18:20]
    assert header == b"\x02\x02", "https://www.sqlite.org/fileformat.html: write and read version 2 mean WAL"


def test_a_database_that_refuses_a_safe_setting_is_refused_itself():
    in_memory = sqlite3.connect(":memory:")  # keeps no WAL, like a network share
    with pytest.raises(StoreProblem, match="does not allow a safe journal") as problem:
        make_safe(in_memory, "here")
    assert "network share" in problem.value.remedy
    in_memory.close()


def test_an_append_is_in_the_file_for_other_connections_when_it_returns(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"),), STAMP)
    with bare(tmp_path) as other:
        assert other.execute("SELECT seq, name, job, boot_id FROM journal").fetchall() == [
            (1, "job-opened/1", "car", "boot-1")
        ]
    journal.close()


def test_a_full_disk_refuses_the_touch_and_takes_the_next_one_when_there_is_room(small_disk):
    ballast = small_disk / "ballast"
    ballast.write_bytes(bytes(100_000))
    journal = open_journal(small_disk / "store")
    with pytest.raises(StoreProblem, match="disk is full") as problem:
        append_for_ever(journal)
    recorded = journal.last_seq()
    assert recorded > 10
    assert "Free some space" in problem.value.remedy
    assert journal.read() == [started("car", n) for n in range(recorded)]
    ballast.unlink()
    assert journal.append((started("car", recorded),), STAMP) == (recorded + 1,)
    journal.close()


def test_a_journal_that_may_not_grow_refuses_the_whole_touch(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"),), STAMP)
    with bare(tmp_path) as other:
        (pages,) = other.execute("PRAGMA page_count").fetchone()
    at_each_write(journal, f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreProblem, match="disk is full"):
        journal.append([started("car", n) for n in range(200)], STAMP)
    assert journal.read() == [opened("car")]
    journal.close()


def test_a_read_only_disk_is_reported_with_the_way_out_and_can_still_be_read(small_disk):
    store = small_disk / "store"
    journal = open_journal(store)
    journal.append(one_of_each(), STAMP)
    journal.close()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(StoreProblem, match="only be read") as problem:
        open_journal(store)
    assert problem.value.where == str(store)
    assert "--store" in problem.value.remedy
    with pytest.raises(StoreProblem, match="only be read"):
        open_journal(small_disk / "new")


def test_a_file_that_is_no_database_is_reported_and_left_as_it_was(tmp_path):
    file = tmp_path / "journal.sqlite3"
    file.write_text("a shopping list, long enough to be taken for the header of a database file " * 3)
    before = file.read_bytes()
    with pytest.raises(StoreProblem, match="no journal of bayapp"):
        open_journal(tmp_path)
    assert file.read_bytes() == before


def test_a_damaged_page_is_reported_when_it_is_read(tmp_path):
    journal = open_journal(tmp_path)
    journal.append([started("car", n) for n in range(500)], STAMP)
    journal.close()
    file = tmp_path / "journal.sqlite3"
    content = bytearray(file.read_bytes())
    content[40_960:53_248] = b"\xff" * 12_288
    file.write_bytes(content)
    reader = open_journal(tmp_path, write=False)
    with pytest.raises(StoreProblem, match="damaged"):
        reader.read()
    reader.close()


def test_a_body_that_is_no_event_is_reported_with_its_number(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"), started(), started()), STAMP)
    with bare(tmp_path) as other:
        other.execute("UPDATE journal SET body = replace(body, '\"zone\"', '\"zome\"') WHERE seq = 2")
        chain_anew(other)
    with pytest.raises(StoreProblem, match="entry 2 is no event"):
        journal.read()
    journal.close()


def test_an_entry_that_was_changed_is_reported_with_its_number_before_anything_follows_from_it(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"), started(), started()), STAMP)
    with bare(tmp_path) as other:
        other.execute("UPDATE journal SET body = replace(body, 'roof', 'door') WHERE seq = 2")
    for read in (journal.read, journal.read_open, journal.entries):
        with pytest.raises(StoreProblem, match="entry 2 is not as it was written"):
            read()
    journal.close()


def test_a_writer_that_another_program_holds_up_is_reported_and_nothing_is_recorded(tmp_path):
    journal = open_journal(tmp_path)
    at_each_write(journal, "PRAGMA busy_timeout = 1")
    with bare(tmp_path) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreProblem, match="Another program holds the journal"):
            journal.append((opened("car"),), STAMP)
        other.execute("ROLLBACK")
    assert journal.append((opened("car"),), STAMP) == (1,)
    journal.close()


def test_a_reader_finds_no_store_where_there_is_none_and_makes_none(tmp_path):
    with pytest.raises(StoreProblem, match="no journal here"):
        open_journal(tmp_path / "nowhere", write=False)
    assert not (tmp_path / "nowhere").exists()


def test_a_reader_cannot_change_the_file_even_by_a_slip_of_ours(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"),), STAMP)
    journal.close()
    reader = open_journal(tmp_path, write=False)
    with reader.reading() as connection, pytest.raises(OperationalError, match="readonly"):
        connection.execute(delete(JOURNAL))
    assert reader.read() == [opened("car")]
    reader.close()


@pytest.mark.parametrize("address", ["mysql://shop/bay", "nonsense://", "://"])
def test_an_address_of_no_known_database_is_refused(address):
    with pytest.raises(StoreProblem, match="no address of a store"):
        open_journal(address)
