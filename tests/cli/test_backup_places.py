"""The backups that the wall makes by itself: to every place, only so many, and written down."""

from pathlib import Path

import pytest

from bayapp.files.shop.backup_log import read_backup_log
from bayapp.files.shop.backup_places import mark_place
from bayapp.files.shop.settings import Settings, save_settings
from bayapp.record import open_journal
from bayapp.record.kept_backups import backups_in
from tests.cli.run import bayapp
from tests.record.samples import STAMP, bare, opened, started

AT = "2026-11-25T18:40:00Z"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    grow(tmp_path / "store", opened("car"))
    return tmp_path / "store"


def grow(store: Path, *events):
    journal = open_journal(store)
    journal.append(events, STAMP)
    journal.close()


def test_both_places_get_a_copy_and_keep_the_last_ones(store: Path, tmp_path: Path):
    stick = tmp_path / "stick"
    save_settings(store, Settings(backups=str(stick), backups_mark=mark_place(stick), backups_kept=2))
    for minute in (1, 2, 3):
        grow(store, started("car", minute))
        assert bayapp("backup-places", "--store", store, "--at", AT).exit_code == 0
    for folder in (store / "backups", stick):
        assert [one.count for one in backups_in(folder)] == [4, 3]
        known = read_backup_log(store).of(folder)
        assert known.file == backups_in(folder)[0].file.name
        assert known.why == ""


def test_a_stick_that_is_away_is_told_not_filled_and_the_copy_at_home_is_made(store: Path, tmp_path: Path):
    stick = tmp_path / "stick" / "bayapp-backups"
    save_settings(store, Settings(backups=str(stick), backups_mark="0123456789abcdef"))
    result = bayapp("backup-places", "--store", store, "--at", AT)
    assert result.exit_code == 1
    assert "is not plugged in" in result.stderr
    assert not stick.exists()
    assert len(backups_in(store / "backups")) == 1
    log = read_backup_log(store)
    assert "is not plugged in" in log.of(stick).why
    assert log.of(store / "backups").why == ""


def test_a_failure_keeps_what_is_known_of_the_last_good_one(store: Path):
    assert bayapp("backup-places", "--store", store, "--at", AT).exit_code == 0
    good = read_backup_log(store).of(store / "backups")
    with bare(store) as other:
        other.execute("UPDATE journal SET body = 'x' WHERE seq = 1")
    result = bayapp("backup-places", "--store", store, "--at", "2026-11-26T03:00:00Z")
    assert result.exit_code == 1
    known = read_backup_log(store).of(store / "backups")
    assert (known.good_at, known.file) == (good.good_at, good.file)
    assert "The journal is damaged" in known.why
    assert len(backups_in(store / "backups")) == 1, "no copy of what is damaged drives a good one out"
