"""Copies of a running store, proved, and brought back."""

import threading
from itertools import count

import pytest

from bayapp.record import StoreInUse, StoreProblem, open_journal
from bayapp.record.backup import back_up, restore
from bayapp.record.integrity import check
from bayapp.record.on_sqlite import RESTORING
from tests.record.samples import STAMP, at, bare, one_of_each, opened, started, version_1


@pytest.fixture
def store(tmp_path):
    """A closed store with one of each event."""
    folder = tmp_path / "store"
    journal = open_journal(folder)
    journal.append(one_of_each(), STAMP)
    journal.heartbeat(at(11), STAMP)
    journal.close()
    return folder


def content(folder):
    journal = open_journal(folder, write=False)
    events, seen = journal.read(), journal.last_heartbeat()
    journal.close()
    return events, seen


def damage(file):
    body = bytearray(file.read_bytes())
    body[4_096:8_192] = b"\xff" * 4_096
    file.write_bytes(body)


def test_a_copy_made_while_the_screen_runs_holds_everything_up_to_then(store, tmp_path):
    running = open_journal(store)
    running.append((opened("next", 20),), STAMP)
    file = back_up(store, tmp_path / "stick")
    running.append((started("next", 21),), STAMP)
    running.close()
    restore(file, tmp_path / "other")
    assert content(tmp_path / "other") == ([*one_of_each(), opened("next", 20)], (at(11), STAMP))


def test_a_copy_is_one_file_that_travels_alone_and_is_named_after_its_last_entry(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    assert file.name == f"bayapp-journal-20261125T081000Z-{len(one_of_each())}.sqlite3"
    assert list((tmp_path / "stick").iterdir()) == [file]
    assert back_up(store, tmp_path / "stick") == file


def test_copies_made_while_touches_fall_are_each_whole(store, tmp_path):
    running = open_journal(store)
    enough = threading.Event()

    def touch():
        for number in count(13):
            running.append((started("car", number), started("car", number)), STAMP)
            if enough.is_set():
                return

    hand = threading.Thread(target=touch)
    hand.start()
    files = {back_up(store, tmp_path / "stick") for _ in range(5)}
    enough.set()
    hand.join()
    running.close()
    assert len(files) > 1, "no touch fell between the copies; the test shows nothing"
    for number, file in enumerate(sorted(files)):
        assert check(f"sqlite:///{file}", alone=True) == ()
        restore(file, tmp_path / f"again-{number}")
        copied, _seen = content(tmp_path / f"again-{number}")
        assert (len(copied) - len(one_of_each())) % 2 == 0, "one of each and whole pairs"


def test_an_empty_store_can_be_copied_too(tmp_path):
    open_journal(tmp_path / "store").close()
    assert back_up(tmp_path / "store", tmp_path / "stick").name == "bayapp-journal-empty-0.sqlite3"


def test_where_there_is_no_store_there_is_nothing_to_copy(tmp_path):
    with pytest.raises(StoreProblem, match="no journal here"):
        back_up(tmp_path / "nowhere", tmp_path / "stick")


def test_a_damaged_store_makes_no_copy(store, tmp_path):
    with bare(store) as other:
        other.execute("DELETE FROM journal WHERE seq = 3")
    with pytest.raises(StoreProblem, match="Entry 3 is missing"):
        back_up(store, tmp_path / "stick")
    assert list((tmp_path / "stick").iterdir()) == []


def test_restoring_keeps_the_old_journal_aside_with_what_was_only_in_its_log(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    journal = open_journal(store)
    with bare(store) as holder:  # keeps the log from being folded in when the screen closes
        holder.execute("BEGIN")
        holder.execute("SELECT count(*) FROM journal").fetchone()
        journal.append((opened("later", 30),), STAMP)
        journal.close()
        aside = restore(file, store)
    assert aside == store / "journal-before-restore-1.sqlite3"
    assert content(store) == (one_of_each(), (at(11), STAMP))
    assert aside is not None
    second = restore(aside, store)
    assert second == store / "journal-before-restore-2.sqlite3"
    assert content(store)[0] == [*one_of_each(), opened("later", 30)]


def test_a_store_in_use_is_not_overwritten(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    running = open_journal(store)
    running.append((opened("next", 20),), STAMP)
    with pytest.raises(StoreInUse):
        restore(file, store)
    assert running.read() == [*one_of_each(), opened("next", 20)]
    running.close()


def test_a_damaged_backup_changes_nothing(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    damage(file)
    before = sorted(store.iterdir())
    with pytest.raises(StoreProblem, match="damaged") as found:
        restore(file, store)
    assert found.value.what.count("The journal is damaged") == 1, "not said twice"
    assert not found.value.what.endswith("..")
    assert sorted(store.iterdir()) == before
    assert content(store) == (one_of_each(), (at(11), STAMP))


def test_a_file_that_is_no_backup_is_refused(store, tmp_path):
    stranger = tmp_path / "holiday.jpg"
    stranger.write_bytes(b"\xff\xd8\xff" * 400)
    with pytest.raises(StoreProblem, match="damaged"):
        restore(stranger, store)
    with pytest.raises(StoreProblem, match="no such backup"):
        restore(tmp_path / "missing", store)


def test_a_backup_on_a_read_only_file_can_be_restored(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    file.chmod(0o444)
    restore(file, tmp_path / "other")
    assert content(tmp_path / "other") == (one_of_each(), (at(11), STAMP))
    journal = open_journal(tmp_path / "other")
    assert journal.append((opened("next", 20),), STAMP) == (len(one_of_each()) + 1,)
    journal.close()


def test_a_backup_of_an_older_version_is_restored_and_then_brought_up_to_date(tmp_path):
    version_1(tmp_path)
    assert restore(tmp_path / "journal.sqlite3", tmp_path / "other") is None
    journal = open_journal(tmp_path / "other")
    assert journal.read() == [opened("car"), started("car", 1)]
    journal.close()


def test_a_restore_that_was_cut_off_is_reported_instead_of_beginning_an_empty_journal(store, tmp_path):
    file = back_up(store, tmp_path / "stick")
    (store / "journal.sqlite3").rename(store / "journal-before-restore-1.sqlite3")
    (store / RESTORING).write_bytes(file.read_bytes())
    with pytest.raises(StoreProblem, match="restore was interrupted"):
        open_journal(store)
    restore(file, store)
    assert content(store) == (one_of_each(), (at(11), STAMP))
