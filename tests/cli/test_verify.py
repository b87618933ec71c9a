"""``verify`` on stores that are whole, and on those that are not."""

import json
from pathlib import Path

import pytest

from bayapp.record import open_journal
from tests.cli.run import bayapp
from tests.record.samples import STAMP, bare, opened, started, version_1


@pytest.fixture
def store(tmp_path: Path) -> Path:
    journal = open_journal(tmp_path / "store")
    journal.append([opened("car"), *(started("car", n) for n in range(1, 5))], STAMP)
    journal.close()
    return tmp_path / "store"


def spoil(store: Path, statement: str) -> None:
    with bare(store) as other:
        other.execute(statement)


def test_a_whole_store_is_said_to_be_that_with_its_last_checksum(store: Path):
    journal = open_journal(store)  # also while the wall runs
    result = bayapp("verify", "--store", store)
    assert result.exit_code == 0
    assert "5 entries, all as they were written" in result.stdout
    assert journal.head().checksum in result.stdout
    journal.close()


def test_the_first_entry_that_was_changed_is_named(store: Path):
    spoil(store, "UPDATE journal SET at_ms = at_ms + 1 WHERE seq IN (3, 4)")
    result = bayapp("verify", "--store", store)
    assert result.exit_code == 1
    assert result.stderr.splitlines()[0] == f"{store}: Entry 3 is not as it was written."


def test_how_many_are_missing_is_said_also_as_json(store: Path):
    spoil(store, "DELETE FROM journal WHERE seq > 3")
    result = bayapp("verify", "--json", "--store", store)
    answer = json.loads(result.stdout)
    assert (result.exit_code, answer["ok"], answer["head"]) == (1, False, None)
    (finding,) = answer["findings"]
    assert (finding["kind"], finding["last"], finding["known"]) == ("EndMissing", 3, 5)
    assert finding["words"].startswith("The last 2 entries are missing")


def test_as_json_a_whole_store_tells_its_head(store: Path):
    answer = json.loads(bayapp("verify", "--json", "--store", store).stdout)
    assert (answer["ok"], answer["head"]["seq"], answer["findings"]) == (True, 5, [])
    assert len(answer["head"]["checksum"]) == 64


def test_a_journal_that_is_gone_is_told_with_its_entries(store: Path):
    (store / "journal.sqlite3").unlink()
    result = bayapp("verify", "--store", store)
    assert result.exit_code == 1
    assert "5 entries with it" in result.stderr


def test_where_there_is_no_journal_of_this_version_there_is_nothing_to_verify(tmp_path: Path):
    assert bayapp("verify", "--store", tmp_path / "nowhere").exit_code == 2
    assert not (tmp_path / "nowhere").exists()
    version_1(tmp_path)
    result = bayapp("verify", "--store", tmp_path)
    assert result.exit_code == 2
    assert "Start the wall screen once" in result.stderr


def test_doctor_says_the_same_in_its_words(store: Path):
    spoil(store, "DELETE FROM journal WHERE seq > 3")
    result = bayapp("doctor", "--only", "store", "--store", store)
    assert result.exit_code == 1
    assert "The last 2 entries are missing" in result.stdout


def test_a_photo_that_is_missing_or_was_altered_is_named_and_so_it_is_by_doctor(store: Path, tmp_path: Path):
    from bayapp.record.photos import photo_file
    from tests.record.test_photos import keep

    kept, altered = keep(store, tmp_path), keep(store, tmp_path, b"another one")
    journal = open_journal(store)
    journal.append([kept, altered], STAMP)
    journal.close()
    assert bayapp("verify", "--store", store).exit_code == 0
    photo_file(store, altered.sha256, "jpeg").write_bytes(b"painted over")
    photo_file(store, kept.sha256, "jpeg").unlink()
    result = bayapp("verify", "--store", store, "--json")
    assert result.exit_code == 1
    said = json.loads(result.stdout)["findings"]
    assert [(one["kind"], one["sha256"]) for one in said] == [
        ("PhotoMissing", kept.sha256),
        ("PhotoAltered", altered.sha256),
    ]
    assert kept.sha256[:12] in said[0]["words"]
    looked = bayapp("doctor", "--only", "store", "--store", store)
    assert looked.exit_code == 1
    assert "1 photo of the journal is missing." in looked.stdout
