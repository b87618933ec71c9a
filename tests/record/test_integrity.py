"""What the check of a journal finds, and that it finds nothing in a sound one."""

from contextlib import closing

import pytest

from bayapp.record import DamagedStore, StoreProblem, open_journal
from bayapp.record.findings import Altered, EntriesUnreadable, FileDamaged, NotOurs, SignOfLifeAltered
from bayapp.record.integrity import check
from tests.record.samples import STAMP, at, bare, chain_anew, one_of_each, started, version_1


@pytest.fixture
def store(tmp_path):
    journal = open_journal(tmp_path)
    journal.append(one_of_each(), STAMP)
    journal.close()
    return tmp_path


def spoil(store, statement):
    with bare(store) as other:
        other.execute(statement)


def words(store):
    return [finding.words for finding in check(store)]


def test_a_sound_journal_has_no_findings(store):
    assert check(store) == ()


def test_a_journal_can_be_checked_while_the_screen_runs(store):
    running = open_journal(store)
    assert check(store) == ()
    running.close()


def test_a_journal_is_checked_to_its_end(store):
    spoil(store, "DELETE FROM journal WHERE seq = 10")
    assert words(store) == ["Entry 10 is missing."]


def test_missing_entries_are_named(store):
    spoil(store, "DELETE FROM journal WHERE seq IN (1, 5, 6)")
    assert words(store) == ["Entry 1 is missing.", "Entries 5 to 6 are missing."]


@pytest.mark.parametrize("change", ["at_ms = at_ms + 86400000", "wall_ms = 1", "boot_id = 'boot'", "at_ms = 'soon'"])
def test_a_sign_of_life_that_was_changed_is_told_and_not_believed(store, change):
    with closing(open_journal(store)) as journal:
        journal.heartbeat(at(12), STAMP)
    spoil(store, f"UPDATE heartbeat SET {change}")
    assert check(store) == (SignOfLifeAltered(),)
    with closing(open_journal(store)) as journal:
        assert journal.noticed == (SignOfLifeAltered(),)
        assert journal.last_heartbeat() is None
        journal.heartbeat(at(13), STAMP)
    assert check(store) == ()


def test_a_body_that_is_no_event_is_named(store):
    spoil(store, "UPDATE journal SET body = 'x' WHERE seq = 4")
    assert check(store) == (Altered(4),)
    with bare(store) as other:
        chain_anew(other)
    assert words(store)[0].startswith("Entry 4 is no event")


@pytest.mark.parametrize(
    "change",
    ["at_ms = at_ms + 1", "name = 'step-finished/1'", "job = NULL", "boot_ms = 1", "wall_ms = 1", "boot_id = ''"],
)
def test_an_entry_that_was_changed_is_named(store, change):
    spoil(store, f"UPDATE journal SET {change} WHERE seq = 2")
    assert words(store) == ["Entry 2 is not as it was written."]


def test_an_entry_that_was_taken_out_and_the_rest_numbered_anew_is_noticed(store):
    spoil(store, "DELETE FROM journal WHERE seq = 3")
    spoil(store, "UPDATE journal SET seq = -(seq - 1) WHERE seq > 3")
    spoil(store, "UPDATE journal SET seq = -seq WHERE seq < 0")
    assert check(store)[0] == Altered(3)


@pytest.mark.parametrize("change", ["at_ms = at_ms + 1", "name = 'step-finished/1'", "job = 'other'", "job = NULL"])
def test_a_column_of_an_older_version_that_disagrees_with_its_body_is_named(tmp_path, change):
    version_1(tmp_path)
    spoil(tmp_path, f"UPDATE journal SET {change} WHERE seq = 2")
    assert words(tmp_path) == ["Entry 2: its body and the columns beside it disagree."]


def test_a_damaged_file_is_reported(tmp_path):
    journal = open_journal(tmp_path)
    journal.append([started("car", n) for n in range(500)], STAMP)
    journal.close()
    file = tmp_path / "journal.sqlite3"
    body = bytearray(file.read_bytes())
    body[40_960:53_248] = b"\xff" * 12_288
    file.write_bytes(body)
    findings = check(tmp_path)
    assert findings
    assert isinstance(findings[0], EntriesUnreadable), "how far it can be read"
    assert isinstance(findings[-1], FileDamaged)


def test_a_database_of_something_else_is_reported(tmp_path):
    spoil(tmp_path, "CREATE TABLE recipe (name TEXT)")
    assert words(tmp_path) == ["The file is no journal of bayapp."]


def test_text_that_is_none_is_told_by_its_entry(store):
    spoil(store, "UPDATE journal SET job = CAST(x'ff63' AS TEXT) WHERE seq = 2")
    assert check(store) == (Altered(2),)
    with closing(open_journal(store, write=False)) as journal, pytest.raises(DamagedStore):
        journal.read()


STRANGERS = {
    "trigger forget": "CREATE TRIGGER forget AFTER INSERT ON journal BEGIN DELETE FROM journal; END",
    "view today": "CREATE VIEW today AS SELECT * FROM journal",
    "table recipe": "CREATE TABLE recipe (name TEXT)",
}


@pytest.mark.parametrize("write", [True, False])
@pytest.mark.parametrize("stranger", STRANGERS)
def test_a_store_with_something_in_it_that_is_not_ours_is_refused_and_it_is_named(store, stranger, write):
    spoil(store, STRANGERS[stranger])
    assert check(store) == (NotOurs((stranger,)),)
    with pytest.raises(StoreProblem, match=f"not bayapp's .*: {stranger}"):
        open_journal(store, write=write)


def test_a_store_of_an_older_version_is_checked_as_it_is(tmp_path):
    version_1(tmp_path)
    assert check(tmp_path) == ()
    spoil(tmp_path, "DELETE FROM journal WHERE seq = 1")
    assert words(tmp_path) == ["Entry 1 is missing."]


def test_a_store_of_a_newer_version_is_reported(store):
    spoil(store, "UPDATE schema_version SET version = 99")
    (finding,) = words(store)
    assert finding.startswith("A newer bayapp wrote this journal")


def test_a_missing_store_is_a_finding(tmp_path):
    assert words(tmp_path / "nowhere") == ["There is no journal here yet."]
