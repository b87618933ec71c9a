"""Photos of a store: kept as they came, private, durable; missing and altered ones are named; backups carry them."""

import hashlib
import os
import stat
from pathlib import Path

import pytest

from bayapp.job.state.events import PhotoAdded
from bayapp.record import open_journal
from bayapp.record.backup import back_up, restore
from bayapp.record.photos import (
    FOLDER,
    PhotoAltered,
    PhotoMissing,
    PhotoTooLarge,
    SourceUnreadable,
    checksum,
    clear_killed,
    drafted,
    missing,
    photo_file,
    settle,
    wrong,
)
from tests.record.disks import small_disk
from tests.record.samples import STAMP, at, opened

RAW = b"\xff\xd8\xff\xe0 no real photo, but bytes like any other \xff\xd9"
MANY = 1_000_000


def keep(store: Path, folder: Path, raw: bytes = RAW) -> PhotoAdded:
    """Keep bytes as a photo of a store; return the entry that the journal would have of it."""
    source = folder / "from-a-camera.jpg"
    source.write_bytes(raw)
    with drafted(source, store, MANY) as draft:
        settle(draft, store, "jpeg")
    source.unlink()
    return PhotoAdded.model_validate(
        {"at": at(1), "job": "car", "sha256": draft.sha256, "kind": "jpeg", "size": draft.size}
    )


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_photo_lies_under_its_checksum_byte_for_byte_and_for_its_user_alone(tmp_path: Path) -> None:
    added = keep(tmp_path, tmp_path)
    file = photo_file(tmp_path, added.sha256, "jpeg")
    assert file.read_bytes() == RAW
    assert file.name == f"{hashlib.sha256(RAW).hexdigest()}.jpg"
    assert added.size == len(RAW)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert names(tmp_path / FOLDER) == [file.name], "no draft is left"


def test_kept_twice_it_lies_there_once_and_an_altered_one_is_healed(tmp_path: Path) -> None:
    added = keep(tmp_path, tmp_path)
    file = photo_file(tmp_path, added.sha256, "jpeg")
    file.write_bytes(b"painted over")
    assert list(wrong(tmp_path, [added])) == [PhotoAltered(added.sha256)]
    assert keep(tmp_path, tmp_path).sha256 == added.sha256
    assert list(wrong(tmp_path, [added, added])) == []
    assert len(names(tmp_path / FOLDER)) == 1


def test_a_missing_photo_is_named_once_and_by_the_quick_look_too(tmp_path: Path) -> None:
    added = keep(tmp_path, tmp_path)
    photo_file(tmp_path, added.sha256, "jpeg").unlink()
    assert list(missing(tmp_path, [added, added])) == list(wrong(tmp_path, [added])) == [PhotoMissing(added.sha256)]
    assert added.sha256[:12] in PhotoMissing(added.sha256).words


@pytest.mark.parametrize("what", ["gone", "folder", "pipe", "too large"])
def test_what_is_no_plain_file_of_the_size_of_a_photo_leaves_nothing_behind(what: str, tmp_path: Path) -> None:
    source = tmp_path / "source"
    {
        "gone": lambda: None,
        "folder": source.mkdir,
        "pipe": lambda: os.mkfifo(source),
        "too large": lambda: source.write_bytes(bytes(1_001)),
    }[what]()
    with pytest.raises((SourceUnreadable, PhotoTooLarge)), drafted(source, tmp_path, 1_000):
        raise AssertionError("it was copied")
    assert names(tmp_path / FOLDER) == []


def test_a_full_disk_keeps_no_half_photo_and_what_was_there_stays(tmp_path: Path) -> None:
    with small_disk(tmp_path / "store", kilobytes=300) as store:
        added = keep(store, tmp_path, bytes(200_000))
        with pytest.raises(OSError, match="No space left"):
            keep(store, tmp_path, bytes(250_000))
        assert names(store / FOLDER) == [f"{added.sha256}.jpg"]
        assert list(wrong(store, [added])) == []


def test_what_a_killed_process_left_is_cleared_and_what_another_one_writes_is_not(tmp_path: Path) -> None:
    source = tmp_path / "from-a-camera.jpg"
    source.write_bytes(RAW)
    with drafted(source, tmp_path, MANY) as draft:
        left = draft.path.with_name(".taking-4000000")
        left.write_bytes(b"half a ph")
        clear_killed(tmp_path)
        assert names(tmp_path / FOLDER) == [draft.path.name]
        assert checksum(draft.path) == draft.sha256


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store with a car, two photos and their entries."""
    folder = tmp_path / "store"
    folder.mkdir()
    added = [keep(folder, tmp_path), keep(folder, tmp_path, RAW + b"!")]
    journal = open_journal(folder)
    journal.append([opened("car"), *added], STAMP)
    journal.close()
    return folder


def photos_of(folder: Path) -> list[PhotoAdded]:
    journal = open_journal(folder, write=False)
    try:
        return journal.photos()
    finally:
        journal.close()


def test_a_backup_carries_the_photos_that_its_journal_names_and_each_only_once(store: Path, tmp_path: Path) -> None:
    backup = back_up(store, tmp_path / "stick")
    assert list(wrong(tmp_path / "stick", photos_of(store))) == []
    before = {path: path.stat().st_ino for path in (tmp_path / "stick" / FOLDER).iterdir()}
    assert back_up(store, tmp_path / "stick") == backup
    assert {path: path.stat().st_ino for path in (tmp_path / "stick" / FOLDER).iterdir()} == before


def test_a_backup_in_the_store_itself_takes_no_second_copy_of_the_photos(store: Path) -> None:
    back_up(store, store / "backups")
    assert not (store / "backups" / FOLDER).exists()


def test_put_back_elsewhere_a_backup_brings_its_photos_along(store: Path, tmp_path: Path) -> None:
    backup = back_up(store, tmp_path / "stick")
    restore(backup, tmp_path / "other")
    assert len(photos_of(tmp_path / "other")) == 2
    assert list(wrong(tmp_path / "other", photos_of(tmp_path / "other"))) == []


def test_put_back_where_it_was_it_takes_only_the_photos_that_lack(store: Path, tmp_path: Path) -> None:
    backup = back_up(store, tmp_path / "stick")
    first, second = photos_of(store)
    photo_file(store, first.sha256, "jpeg").unlink()
    kept = photo_file(store, second.sha256, "jpeg").stat().st_ino
    restore(backup, store)
    assert list(wrong(store, photos_of(store))) == []
    assert photo_file(store, second.sha256, "jpeg").stat().st_ino == kept


def test_a_photo_that_is_gone_or_altered_keeps_no_backup_from_being_made_and_is_counted(
    store: Path, tmp_path: Path
) -> None:
    first, second = photos_of(store)
    photo_file(store, first.sha256, "jpeg").unlink()
    photo_file(store, second.sha256, "jpeg").write_bytes(bytes(second.size))
    told: list[int] = []
    assert back_up(store, tmp_path / "stick", told.append).is_file()
    assert told == [2]
    assert names(tmp_path / "stick" / FOLDER) == [], "what was altered is not carried on"


def test_a_stick_without_room_for_the_photos_gets_no_backup_that_lacks_them(store: Path, tmp_path: Path) -> None:
    big = keep(store, tmp_path, bytes(400_000))
    journal = open_journal(store)
    journal.append([big], STAMP)
    journal.close()
    from bayapp.record.problems import PlaceProblem

    with small_disk(tmp_path / "stick", kilobytes=400) as stick:
        with pytest.raises(PlaceProblem):
            back_up(store, stick)
        assert not list(stick.glob("*.sqlite3"))
