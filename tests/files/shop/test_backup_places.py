"""A place for backups that is not there is told, and never filled on the disk below it; the disks are real ones."""

from pathlib import Path

import pytest

from bayapp.files.shop import backup_places
from bayapp.files.shop.backup_log import BackupLog, PlaceLog, read_backup_log, write_backup_log
from bayapp.files.shop.backup_places import MARK, mark_place, why_missing
from tests.record.disks import loop_disk, small_disk
from tests.record.samples import START


def test_a_stick_that_was_pulled_is_told_and_known_again_when_it_is_back(tmp_path: Path):
    with loop_disk(tmp_path) as disk:
        folder = disk.place / "bayapp-backups"
        mark = mark_place(folder)
        assert why_missing(folder, mark) == ""
        disk.pull()
        assert "is not plugged in" in why_missing(folder, mark)
        folder.mkdir()  # as a copy would have made it on the disk below
        assert "is not plugged in" in why_missing(folder, mark)
        folder.rmdir()
        disk.plug_in()
        assert why_missing(folder, mark) == ""
        assert mark_place(folder) == mark, "chosen again, it keeps its mark"


def test_another_stick_in_its_place_is_called_so(tmp_path: Path):
    mark = mark_place(tmp_path / "stick" / "bayapp-backups")
    with small_disk(tmp_path / "stick") as other:
        mark_place(other / "bayapp-backups")
        assert "Another stick or disk" in why_missing(other / "bayapp-backups", mark)


def test_a_folder_written_by_hand_below_the_place_of_sticks_needs_a_mount(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(backup_places, "PLUGGED_IN", (str(tmp_path / "media"),))
    folder = tmp_path / "media" / "stick" / "copies"
    folder.mkdir(parents=True)
    assert "is not plugged in" in why_missing(folder, None)
    with small_disk(tmp_path / "media" / "stick"):
        assert why_missing(folder, None) == ""
    assert why_missing(tmp_path / "elsewhere", None) == ""


def test_a_mark_that_cannot_be_read_is_none(tmp_path: Path):
    mark = mark_place(tmp_path)
    (tmp_path / MARK).write_bytes(b"\xff\xfe")
    assert why_missing(tmp_path, mark)


def test_the_log_survives_and_a_broken_one_is_begun_anew(tmp_path: Path):
    log = BackupLog(places={"/media/stick": PlaceLog(good_at=START, file="copy")})
    write_backup_log(tmp_path, log)
    assert read_backup_log(tmp_path) == log
    (tmp_path / "backup-log.json").write_text("{", encoding="utf-8")
    assert read_backup_log(tmp_path) == BackupLog()
