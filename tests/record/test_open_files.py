"""The store on disk is the one that was opened, or nothing is recorded until it is there again."""

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from bayapp.record import AppendConflict, DamagedStore, StoreInUse, StoreLost, StoreProblem, open_journal
from bayapp.record.backup import restore
from bayapp.record.integrity import check
from bayapp.record.open_files import OpenFiles
from bayapp.record.sql_journal import SqlJournal
from bayapp.record.store import BACKUPS
from bayapp.record.writer_lock import NAME, DatabaseLock
from tests.record.disks import small_disk
from tests.record.samples import STAMP, at, bare, opened, started

FILES = ("journal.sqlite3", "journal.sqlite3-wal", "journal.sqlite3-shm")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return tmp_path / "store"


@pytest.fixture
def journal(store: Path) -> Iterator[SqlJournal]:
    """A running journal of three entries."""
    journal = open_journal(store)
    journal.append([opened("car"), started("car", 1), started("car", 2)], STAMP)
    yield journal
    journal.close()


def assert_refused(journal: SqlJournal, words: str) -> None:
    with pytest.raises(StoreLost, match=words):
        journal.look()
    with pytest.raises(StoreLost, match=words) as told:
        journal.append((started("car", 9),), STAMP)
    assert told.value.remedy
    with pytest.raises(StoreLost, match=words):
        journal.heartbeat(at(9), STAMP)


def test_a_store_that_nobody_touched_is_the_one_that_was_opened(journal: SqlJournal, store: Path):
    journal.look()
    journal.heartbeat(at(3), STAMP)
    journal.look()
    with closing(open_journal(store, write=False)) as reader:
        assert len(reader.read()) == 3
    assert check(store) == ()
    journal.look()


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_was_renamed_is_missed_until_it_is_back(journal: SqlJournal, store: Path, name: str):
    (store / name).rename(store / "elsewhere")
    assert_refused(journal, f"{name} is not in its folder")
    (store / "elsewhere").rename(store / name)
    journal.look()
    assert journal.append((started("car", 3),), STAMP) == (4,)
    journal.close()
    assert check(store) == ()


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_was_deleted_is_missed_and_nothing_goes_where_nobody_can_read_it(
    journal: SqlJournal, store: Path, name: str
):
    (store / name).unlink()
    assert_refused(journal, f"{name} is not in its folder")


def assert_written_back(journal: SqlJournal, store: Path) -> None:
    """What is still open is copied, and put in its place once the wall has let go of it."""
    copy = journal.save_open()
    assert copy.parent == store / BACKUPS
    journal.close()
    restore(copy, store)
    assert check(store) == ()
    with closing(open_journal(store)) as again:
        assert again.read() == [opened("car"), started("car", 1), started("car", 2)]
        assert again.noticed == ()
        assert again.append((started("car", 3),), STAMP) == (4,)


@pytest.mark.parametrize("name", FILES)
def test_a_journal_whose_file_was_deleted_is_written_back_whole_from_what_is_still_open(
    journal: SqlJournal, store: Path, name: str
):
    (store / name).unlink()
    with pytest.raises(StoreLost) as told:
        journal.look()
    assert told.value.gone
    assert_written_back(journal, store)


def test_a_journal_whose_folder_was_deleted_is_written_back_into_a_new_one(journal: SqlJournal, store: Path):
    shutil.rmtree(store)
    assert_written_back(journal, store)


def test_a_journal_that_is_not_whole_in_the_open_file_is_not_written_back(journal: SqlJournal, store: Path):
    with bare(store) as other:
        other.execute("UPDATE journal SET body = replace(body, 'roof', 'door') WHERE seq = 2")
    (store / FILES[0]).unlink()
    with pytest.raises(DamagedStore, match="Entry 2 is not as it was written"):
        journal.save_open()
    assert not list((store / BACKUPS).iterdir()), "nothing is left that could be taken for a backup"


def test_another_file_in_its_place_is_not_written_over(journal: SqlJournal, store: Path):
    (store / FILES[0]).write_bytes(b"")
    shutil.copy(store / FILES[0], store / "copy")
    (store / "copy").replace(store / FILES[0])
    with pytest.raises(StoreLost) as told:
        journal.look()
    assert not told.value.gone


def test_nothing_is_written_back_to_the_disk_below_one_that_was_pulled(tmp_path: Path):
    with small_disk(tmp_path / "stick", kilobytes=2_000) as stick:
        journal = open_journal(stick / "store")
        journal.append((opened("car"),), STAMP)
        subprocess.run(["umount", "--lazy", str(stick)], check=True)
        with pytest.raises(StoreProblem, match="its disk was pulled out"):
            journal.save_open()
        assert not list(stick.iterdir())
        journal.close()


def test_a_folder_that_was_renamed_is_missed_until_it_is_back(journal: SqlJournal, store: Path):
    store.rename(store.with_name("other"))
    assert_refused(journal, "journal.sqlite3 is not in its folder")
    store.with_name("other").rename(store)
    assert journal.append((started("car", 3),), STAMP) == (4,)


def test_a_folder_that_was_deleted_is_missed(journal: SqlJournal, store: Path):
    shutil.rmtree(store)
    assert_refused(journal, "journal.sqlite3 is not in its folder")


@pytest.mark.parametrize("name", FILES)
def test_another_file_in_the_place_of_one_is_told_also_where_it_says_the_same(
    journal: SqlJournal, store: Path, name: str
):
    shutil.copy(store / name, store / "copy")
    (store / name).rename(store / "right")
    (store / "copy").rename(store / name)
    assert_refused(journal, f"Another file lies in the place of {name}")
    (store / "right").rename(store / name)
    journal.look()


def test_another_file_that_came_during_a_write_is_not_taken_for_the_right_one(store: Path, journal: SqlJournal):
    files = OpenFiles(store / FILES[0])
    files.learn()
    journal.append((started("car", 3),), STAMP)
    files.learn()
    files.require_same()
    shutil.copy(store / FILES[1], store / "copy")
    (store / "copy").replace(store / FILES[1])
    files.learn()
    with pytest.raises(StoreLost, match="Another file lies in the place of"):
        files.require_same()


def test_an_older_state_copied_over_the_open_file_is_told(journal: SqlJournal, store: Path, tmp_path: Path):
    with bare(store) as other:
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    older = (store / FILES[0]).read_bytes()
    journal.append([started("car", n) for n in range(3, 40)], STAMP)
    with bare(store) as other:
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with (store / FILES[0]).open("r+b") as file:
        file.write(older)
        file.truncate()
    with pytest.raises(StoreProblem):
        journal.look()


def test_a_file_that_was_only_touched_is_checked_and_work_goes_on(journal: SqlJournal, store: Path):
    os.utime(store / FILES[0])
    journal.look()
    assert journal.append((started("car", 3),), STAMP) == (4,)


def test_entries_that_another_program_added_or_took_away_stop_the_writer_with_words(journal: SqlJournal, store: Path):
    with bare(store) as other:
        other.execute("DELETE FROM journal WHERE seq = 3")
    for ask in (journal.look, lambda: journal.append((started("car", 3),), STAMP)):
        with pytest.raises(StoreProblem) as told:
            ask()
        assert isinstance(told.value, AppendConflict | DamagedStore)
        assert told.value.remedy


def test_two_writers_that_both_think_they_are_alone_do_not_both_append(store: Path, journal: SqlJournal):
    second = SqlJournal(journal.store, journal.store.make_engine(write=True), NoLock())
    second.check_tables()
    assert second.append((started("car", 3),), STAMP) == (4,)
    with pytest.raises(AppendConflict, match="Another program has written to this journal"):
        journal.append((started("car", 3),), STAMP)
    assert len(second.read()) == 4
    second.engine.dispose()


class NoLock:
    """What a writer holds that the system has taken its lock from."""

    def release(self) -> None:
        """Nothing is held."""


def test_a_second_writer_is_refused_also_where_the_file_of_the_lock_was_removed(journal: SqlJournal, store: Path):
    (store / NAME).unlink()
    with pytest.raises(StoreInUse, match="Another wall screen"):
        open_journal(store)
    assert journal.append((started("car", 3),), STAMP) == (4,)


def test_a_lock_on_the_database_leaves_sqlite_free_to_work_and_goes_with_its_holder(tmp_path: Path):
    lock = DatabaseLock(tmp_path / "some.sqlite3")
    with closing(sqlite3.connect(tmp_path / "some.sqlite3")) as connection:
        connection.execute("CREATE TABLE one (n INTEGER)")
    with pytest.raises(StoreInUse):
        DatabaseLock(tmp_path / "some.sqlite3")
    lock.release()
    DatabaseLock(tmp_path / "some.sqlite3").release()


@pytest.mark.parametrize(
    "trigger",
    [
        "AFTER INSERT ON journal BEGIN DELETE FROM journal WHERE seq = new.seq; END",
        "AFTER INSERT ON journal BEGIN UPDATE journal SET body = '{}' WHERE seq = new.seq; END",
        "BEFORE INSERT ON journal BEGIN SELECT RAISE(IGNORE); END",
        "AFTER INSERT ON journal BEGIN UPDATE journal SET job = 'other' WHERE seq = 1; END",
    ],
)
def test_what_a_trigger_took_from_an_append_is_noticed_before_it_counts(journal: SqlJournal, store: Path, trigger: str):
    with bare(store) as other:
        other.execute(f"CREATE TRIGGER thief {trigger}")
    with pytest.raises(StoreProblem, match="trigger thief"):
        journal.append((started("car", 3),), STAMP)
    with bare(store) as other:
        other.execute("DROP TRIGGER thief")
    assert journal.append((started("car", 3),), STAMP) == (4,)
    assert check(store) == ()
