import json
from datetime import date
from pathlib import Path

import pytest

from bayapp.job.state.events import JobOpened
from bayapp.record import open_journal
from tests.cli.run import bayapp
from tests.record.samples import STAMP, at, job


@pytest.fixture(autouse=True)
def shop_in_utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Return a store with two jobs, opened on 25 and on 26 November."""
    journal = open_journal(tmp_path / "store")
    for name, minutes in (("one", 0), ("two", 24 * 60)):
        journal.append((JobOpened(at=at(minutes), job=job(name).id, opened=job(name)),), STAMP)
    journal.close()
    return tmp_path / "store"


def test_the_last_day_worked_is_written_as_pdf_csv_and_json(store: Path, tmp_path: Path):
    result = bayapp("report", "--store", store, "--out", tmp_path / "papers")
    assert result.exit_code == 0, result.stderr
    paths = [Path(line) for line in result.stdout.splitlines()]
    assert sorted(path.suffix for path in paths) == [".csv", ".json", ".pdf"]
    assert all(path.is_file() and path.parent == tmp_path / "papers" for path in paths)
    record = json.loads(next(path for path in paths if path.suffix == ".json").read_text())
    assert (record["job"], record["day"]) == ("two", str(date(2026, 11, 26)))
    assert next(path for path in paths if path.suffix == ".pdf").read_bytes()[:5] == b"%PDF-"  # ISO 32000-1, 7.5.2


def test_one_job_on_one_day_is_written_when_asked(store: Path, tmp_path: Path):
    result = bayapp("report", "--store", store, "--job", "one", "--day", "2026-11-25", "--out", tmp_path)
    assert result.exit_code == 0, result.stderr
    record = json.loads(next(Path(p) for p in result.stdout.splitlines() if p.endswith(".json")).read_text())
    assert (record["job"], record["day"]) == ("one", "2026-11-25")


def test_a_day_on_which_nothing_happened_makes_the_answer_no(store: Path, tmp_path: Path):
    result = bayapp("report", "--store", store, "--day", "2026-11-24", "--out", tmp_path / "papers")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "Nothing was recorded on 2026-11-24" in result.stderr
    assert not (tmp_path / "papers").exists()


def test_a_record_is_written_as_it_stood_at_an_instant(store: Path, tmp_path: Path):
    result = bayapp("report", "--store", store, "--at", "2026-11-25T20:00:00Z", "--out", tmp_path)
    assert result.exit_code == 0, result.stderr
    record = json.loads(next(Path(p) for p in result.stdout.splitlines() if p.endswith(".json")).read_text())
    assert (record["job"], record["day"], record["entries"]) == ("one", "2026-11-25", 1)


def test_the_entries_counted_are_those_of_the_whole_journal(store: Path, tmp_path: Path):
    result = bayapp("report", "--store", store, "--job", "two", "--out", tmp_path)
    record = json.loads(next(Path(p) for p in result.stdout.splitlines() if p.endswith(".json")).read_text())
    assert record["entries"] == 2


@pytest.mark.parametrize(
    ("more", "complaint"),
    [
        (["--job", "three"], "There is no job 'three' in this store; it has one, two."),
        (["--day", "25.11.2026"], "is no date"),
        (["--at", "noon"], "is not a date and time"),
        (["--job", "one", "--at", "2026-11-25T07:00:00Z"], "There is no job 'one' in this store"),
        (["--paper", "a3"], "is none of a4, letter"),
        (["--store", "no-such-store"], "no-such-store"),
    ],
)
def test_what_cannot_be_reported_is_bad_input_and_nothing_is_written(
    more: list[str], complaint: str, store: Path, tmp_path: Path
):
    result = bayapp("report", "--store", store, "--out", tmp_path / "papers", *more)
    assert (result.exit_code, result.stdout) == (2, "")
    assert complaint in result.stderr
    assert not (tmp_path / "papers").exists()
