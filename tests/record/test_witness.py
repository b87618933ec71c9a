"""The file beside the journal that knows its last entry: what is missing at the end is told, with how much."""

import os
from pathlib import Path

import pytest

from bayapp.record import DamagedStore, open_journal
from bayapp.record.chain import NOTHING, Head
from bayapp.record.findings import (
    EndMissing,
    JournalGone,
    OtherJournal,
    Upgraded,
    WitnessMissing,
    WitnessUnreadable,
)
from bayapp.record.integrity import check
from bayapp.record.witness import LENGTH, Witness
from tests.record.samples import STAMP, at, bare, opened, started, version_1


@pytest.fixture
def store(tmp_path):
    """A closed store of five entries."""
    folder = tmp_path / "store"
    journal = open_journal(folder)
    journal.append([opened("car"), *(started("car", n) for n in range(1, 5))], STAMP)
    journal.close()
    return folder


def witness_of(folder):
    return Witness(folder / "journal.sqlite3")


def cut(folder, after):
    with bare(folder) as other:
        other.execute("DELETE FROM journal WHERE seq > ?", (after,))


def copy(folder, target):
    target.mkdir()
    for path in folder.iterdir():
        if path.is_file():
            (target / path.name).write_bytes(path.read_bytes())
    return target


def test_it_knows_the_last_entry_after_each_touch_and_after_a_kill(store, tmp_path):
    journal = open_journal(store)
    for minutes in (5, 6):
        journal.append((started("car", minutes),), STAMP)
        assert witness_of(store).read() == journal.head()
    killed = copy(store, tmp_path / "killed")  # as the files stand without a close
    journal.close()
    again = open_journal(killed)
    assert (again.last_seq(), again.noticed) == (7, ())
    again.close()


def test_a_witness_that_lags_behind_is_usual_and_goes_on(store):
    journal = open_journal(store)
    behind = journal.head()
    journal.append((started("car", 5),), STAMP)
    journal.close()
    witness_of(store).settle(behind)
    assert check(store) == ()
    journal = open_journal(store)
    assert (journal.last_seq(), journal.noticed) == (6, ())
    assert witness_of(store).read() == journal.head()
    journal.close()


@pytest.mark.parametrize("write", [True, False])
def test_entries_missing_at_the_end_are_told_with_how_many(store, write):
    cut(store, after=2)
    assert check(store) == (EndMissing(2, 5),)
    with pytest.raises(DamagedStore, match=r"last 3 entries are missing: .* ends at 2, and 5") as told:
        open_journal(store, write=write)
    assert "restore the latest backup" in told.value.remedy
    assert witness_of(store).read() == Head(5, check_sum(store, 5)), "it still knows"


def check_sum(folder, seq):
    """The checksum that the witness has of an entry, which may be gone from the journal."""
    head = witness_of(folder).read()
    assert isinstance(head, Head)
    assert head.seq == seq
    return head.checksum


@pytest.mark.parametrize("write", [True, False])
@pytest.mark.parametrize("left", [None, b""])
def test_a_journal_that_is_gone_is_no_fresh_empty_bay(store, left, write):
    file = store / "journal.sqlite3"
    file.unlink()
    if left is not None:
        file.write_bytes(left)
    assert check(store) == (JournalGone(5),)
    with pytest.raises(DamagedStore, match=r"is gone: .* 5 entries with it"):
        open_journal(store, write=write)
    assert not file.exists() or file.read_bytes() == b"", "nothing was made in its place"


def test_a_log_without_its_journal_is_told(store, tmp_path):
    journal = open_journal(store)
    journal.append((started("car", 5),), STAMP)
    killed = copy(store, tmp_path / "killed")
    journal.close()
    (killed / "journal.sqlite3").unlink()
    witness_of(killed).path.unlink()
    assert check(killed) == (JournalGone(None),)
    with pytest.raises(DamagedStore, match="is gone"):
        open_journal(killed)


@pytest.mark.parametrize("harm", [Path.unlink, lambda log: os.truncate(log, 0), lambda log: os.truncate(log, 5_000)])
def test_what_was_in_a_lost_log_is_told_after_a_kill(store, tmp_path, harm):
    journal = open_journal(store)
    for minutes in range(5, 9):
        journal.append((started("car", minutes),), STAMP)
    killed = copy(store, tmp_path / "killed")
    journal.close()
    harm(killed / "journal.sqlite3-wal")
    (finding,) = check(killed)
    assert isinstance(finding, EndMissing)
    assert finding.known == 9
    with pytest.raises(DamagedStore, match="entries are missing"):
        open_journal(killed)


def test_another_journal_in_the_place_of_this_one_is_told(store, tmp_path):
    journal = open_journal(tmp_path / "other")
    journal.append([opened("other"), *(started("other", n) for n in range(1, 9))], STAMP)
    journal.close()
    (store / "journal.sqlite3").write_bytes((tmp_path / "other" / "journal.sqlite3").read_bytes())
    assert check(store) == (OtherJournal(5),)
    with pytest.raises(DamagedStore, match="Entry 5 is not the one that was recorded"):
        open_journal(store)


@pytest.mark.parametrize(
    ("content", "finding"),
    [
        (None, WitnessMissing()),
        (b"", WitnessUnreadable()),
        (b"\0" * LENGTH, WitnessUnreadable()),
        (b"{}", WitnessUnreadable()),
    ],
)
def test_a_lost_or_spoilt_witness_is_said_and_keeps_nobody_from_working(store, content, finding):
    path = witness_of(store).path
    path.unlink()
    if content is not None:
        path.write_bytes(content)
    assert check(store) == (finding,)
    journal = open_journal(store)
    assert journal.noticed == (finding,)
    journal.close()
    assert check(store) == ()
    journal = open_journal(store)
    assert journal.noticed == (), "said once"
    journal.close()


def test_no_single_flipped_bit_of_it_is_taken_for_missing_entries(store):
    path = witness_of(store).path
    right = path.read_bytes()
    for place in range(0, len(right.rstrip()), 7):
        path.write_bytes(right[:place] + bytes([right[place] ^ 1]) + right[place + 1 :])
        assert check(store) in ((), (WitnessUnreadable(),))


def test_taking_it_away_is_the_way_to_go_on_without_what_is_missing(store):
    cut(store, after=2)
    witness_of(store).path.unlink()
    journal = open_journal(store)
    assert journal.append((started("car", 9),), STAMP) == (3,)
    journal.close()
    assert check(store) == ()


def test_a_new_and_an_upgraded_store_have_one_from_the_start(tmp_path):
    new, old = tmp_path / "new", tmp_path / "old"
    journal = open_journal(new)
    assert (witness_of(new).read(), journal.noticed) == (NOTHING, ())
    journal.close()
    old.mkdir()
    version_1(old)
    journal = open_journal(old)
    assert witness_of(old).read() == journal.head()
    assert [type(finding) for finding in journal.noticed] == [Upgraded]
    journal.close()


def test_an_upgrade_that_was_cut_off_after_its_witness_is_done_again(tmp_path):
    once, cut_off = tmp_path / "once", tmp_path / "cut_off"
    for folder in (once, cut_off):
        folder.mkdir()
        version_1(folder)
    open_journal(once).close()
    witness_of(cut_off).path.write_bytes(witness_of(once).path.read_bytes())
    journal = open_journal(cut_off)
    assert journal.last_seq() == 2
    assert [type(finding) for finding in journal.noticed] == [Upgraded], "and no loss at the end"
    journal.close()


def test_a_sign_of_life_brings_back_a_witness_that_was_taken_away(store):
    journal = open_journal(store)
    witness_of(store).path.unlink()
    journal.heartbeat(at(6), STAMP)
    assert witness_of(store).read() == journal.head()
    journal.close()
