from pathlib import Path

import pytest

from bayapp.paths import default_store
from bayapp.record import open_journal
from tests.cli.run import bayapp
from tests.record.samples import STAMP, at, job


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Return a store with one open job."""
    from bayapp.job.state.events import JobOpened

    journal = open_journal(tmp_path / "store")
    opened = job("one")
    journal.append((JobOpened(at=at(0), job=opened.id, opened=opened),), STAMP)
    journal.close()
    return tmp_path / "store"


def read(store: Path) -> list:
    journal = open_journal(store, write=False)
    try:
        return list(journal.read())
    finally:
        journal.close()


def test_a_copy_is_made_while_the_screen_runs_and_put_back_into_another_store(store: Path, tmp_path: Path):
    running = open_journal(store)
    try:
        result = bayapp("backup", tmp_path / "copies", "--store", store)
    finally:
        running.close()
    assert result.exit_code == 0
    copy = Path(result.stdout.strip())
    assert copy.parent == tmp_path / "copies"
    assert copy.is_file()
    restored = bayapp("restore", copy, "--store", tmp_path / "other")
    assert (restored.exit_code, restored.stderr) == (0, "")
    assert read(tmp_path / "other") == read(store)


def test_a_journal_that_was_there_is_kept_aside_and_named(store: Path, tmp_path: Path):
    copy = bayapp("backup", tmp_path, "--store", store).stdout.strip()
    result = bayapp("restore", copy, "--store", store)
    assert result.exit_code == 0
    kept = Path(result.stderr.strip().rpartition(" ")[2])
    assert kept.is_file()
    assert kept.parent == store


def test_without_a_store_named_the_shops_own_is_meant(store: Path, tmp_path: Path):
    copy = bayapp("backup", tmp_path, "--store", store).stdout.strip()
    assert bayapp("restore", copy).stdout.strip() == str(default_store())
    assert read(default_store()) == read(store)


def test_no_store_is_bad_input_and_nothing_is_written(tmp_path: Path):
    result = bayapp("backup", tmp_path / "copies", "--store", tmp_path / "none")
    assert (result.exit_code, result.stdout) == (2, "")
    assert str(tmp_path / "none") in result.stderr
    assert not (tmp_path / "none").exists()
    assert not [*(tmp_path / "copies").glob("*")]


@pytest.mark.parametrize("raw", [None, b"", b"no journal at all", b"SQLite format 3\0" + b"\0" * 5000])
def test_a_file_that_is_no_copy_is_bad_input_and_the_journal_stays(raw: bytes | None, store: Path, tmp_path: Path):
    before = read(store)
    if raw is not None:
        (tmp_path / "copy.sqlite3").write_bytes(raw)
    result = bayapp("restore", tmp_path / "copy.sqlite3", "--store", store)
    assert (result.exit_code, result.stdout) == (2, "")
    assert str(tmp_path / "copy.sqlite3") in result.stderr
    assert read(store) == before


def test_nothing_is_put_under_a_running_screen(store: Path, tmp_path: Path):
    copy = bayapp("backup", tmp_path, "--store", store).stdout.strip()
    running = open_journal(store)
    try:
        result = bayapp("restore", copy, "--store", store)
    finally:
        running.close()
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Close it" in result.stderr
