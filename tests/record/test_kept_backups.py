"""Which backups there are, and which of them belong to a store."""

import pytest

from bayapp.record import open_journal
from bayapp.record.backup import back_up
from bayapp.record.kept_backups import backups_in, drop_older, entries_in, newest_good
from tests.record.samples import STAMP, opened, started


def grow(store, *minutes, car="car"):
    journal = open_journal(store)
    journal.append([opened(car), *[started("car", minute) for minute in minutes]], STAMP)
    journal.close()


@pytest.fixture
def store(tmp_path):
    return tmp_path / "store"


@pytest.fixture
def place(store):
    """Three backups of the store, two entries, four and six."""
    for minute in (1, 2, 3):
        grow(store, minute)
        back_up(store, store.parent / "stick")
    return store.parent / "stick"


def test_backups_are_told_newest_first_by_their_names(place):
    (place / "holiday.jpg").write_bytes(b"")
    assert [one.count for one in backups_in(place)] == [6, 4, 2]
    assert backups_in(place / "nowhere") == []


def test_only_so_many_are_kept_and_other_stores_and_files_stay(store, place, tmp_path):
    (place / "holiday.jpg").write_bytes(b"")
    grow(tmp_path / "other", 7, car="another")
    theirs = back_up(tmp_path / "other", place)
    assert len(drop_older(store, place, keep=1)) == 2
    assert sorted(one.count for one in backups_in(place)) == [2, 6]
    assert theirs.exists()
    assert (place / "holiday.jpg").exists()


def test_the_newest_good_one_is_found_past_damaged_ones_and_those_of_other_stores(store, place, tmp_path):
    backups_in(place)[0].file.write_bytes(b"\xff" * 4096)
    grow(tmp_path / "other", 50, car="another")
    back_up(tmp_path / "other", place)
    found = newest_good(store, [tmp_path / "nowhere", place])
    assert found is not None
    assert found.count == 4


def test_a_store_that_can_tell_nothing_any_more_is_offered_what_lies_there(store, place):
    (store / "journal.sqlite3").write_bytes(b"\xff" * 4096)
    assert entries_in(store) == 6, "its witness still knows"
    (store / "journal.sqlite3-witness").unlink()
    assert entries_in(store) is None
    found = newest_good(store, [place])
    assert found is not None
    assert found.count == 6


def test_the_entries_of_a_store_are_counted(store, place):
    assert entries_in(store) == 6
    assert place.is_dir()
