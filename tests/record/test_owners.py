"""Owners stand beside the journal: kept, erased for good, carried with backups, and never lost to a damaged file."""

import os
import stat
from pathlib import Path

import pytest

from bayapp.job.model.ids import JobId
from bayapp.record.owners import (
    NAME,
    NOBODY,
    Owner,
    OwnersUnreadable,
    carry,
    erase_owner,
    fetch,
    keep_owner,
    owner_of,
)

GREEN, RED = JobId("green"), JobId("red")
ANNA, BERT = Owner(name="Anna Berg", phone="+00 123 456"), Owner(name="Bert Tal")


def folder(path: Path) -> Path:
    path.mkdir()
    return path


def test_what_was_told_of_one_car_is_known_of_it_alone(tmp_path: Path):
    assert owner_of(tmp_path, GREEN) == NOBODY
    keep_owner(tmp_path, GREEN, ANNA)
    keep_owner(tmp_path, RED, BERT)
    keep_owner(tmp_path, RED, BERT.model_copy(update={"phone": "7"}))
    assert owner_of(tmp_path, GREEN) == ANNA
    assert owner_of(tmp_path, RED).phone == "7"


@pytest.mark.skipif(os.name != "posix", reason="rights of this kind are POSIX's")
def test_the_file_is_its_users_alone_whatever_the_mask_says(tmp_path: Path):
    before = os.umask(0)
    try:
        keep_owner(tmp_path, GREEN, ANNA)
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / NAME).stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == [NAME]


def test_what_was_erased_stands_nowhere_in_the_folder_and_the_others_stay(tmp_path: Path):
    keep_owner(tmp_path, GREEN, ANNA)
    keep_owner(tmp_path, RED, BERT)
    erase_owner(tmp_path, GREEN)
    assert owner_of(tmp_path, GREEN) == NOBODY
    assert owner_of(tmp_path, RED) == BERT
    assert all(b"Anna" not in path.read_bytes() for path in tmp_path.iterdir())
    keep_owner(tmp_path, GREEN, BERT)
    assert owner_of(tmp_path, GREEN) == BERT, "told again, it counts again"


def test_a_backup_has_the_owners_and_the_next_one_loses_what_was_erased(tmp_path: Path):
    store, stick = folder(tmp_path / "store"), folder(tmp_path / "stick")
    carry(store, stick)
    assert not (stick / NAME).exists(), "nothing was told"
    keep_owner(store, GREEN, ANNA)
    keep_owner(stick, RED, BERT)
    carry(store, stick)
    assert (owner_of(stick, GREEN), owner_of(stick, RED)) == (ANNA, BERT)
    erase_owner(store, GREEN)
    carry(store, stick)
    assert (owner_of(stick, GREEN), owner_of(stick, RED)) == (NOBODY, BERT)


def test_an_older_stick_brings_back_what_was_lost_but_not_what_was_erased(tmp_path: Path):
    store, stick = folder(tmp_path / "store"), folder(tmp_path / "stick")
    keep_owner(stick, GREEN, ANNA)
    keep_owner(stick, RED, BERT)
    erase_owner(store, GREEN)
    fetch(stick, store)
    assert (owner_of(store, GREEN), owner_of(store, RED)) == (NOBODY, BERT)


@pytest.mark.parametrize("damage", [b"", b"\xff\xfe", b'{"owners": {"green": {"name": "Anna Berg"', b"[]"])
def test_a_damaged_file_is_told_without_what_stands_in_it_and_laid_aside_when_something_is_written(
    tmp_path: Path, damage: bytes
):
    (tmp_path / NAME).write_bytes(damage)
    with pytest.raises(OwnersUnreadable) as told:
        owner_of(tmp_path, GREEN)
    assert "Anna" not in str(told.value)
    assert told.value.__cause__ is None
    aside = keep_owner(tmp_path, RED, BERT)
    assert aside
    assert aside.read_bytes() == damage
    assert owner_of(tmp_path, RED) == BERT


def test_a_damaged_file_on_either_side_stops_no_backup_and_no_restore(tmp_path: Path):
    store, stick = folder(tmp_path / "store"), folder(tmp_path / "stick")
    (store / NAME).write_bytes(b"{")
    keep_owner(stick, RED, BERT)
    carry(store, stick)
    assert owner_of(stick, RED) == BERT
    fetch(stick, store)
    assert owner_of(store, RED) == BERT


def test_a_folder_in_its_place_is_said_to_be_unreadable(tmp_path: Path):
    (tmp_path / NAME).mkdir()
    with pytest.raises(OwnersUnreadable):
        owner_of(tmp_path, GREEN)
