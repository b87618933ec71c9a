"""Passwords of brokers leave the settings at the first start, and nothing brings them back there."""

import json
import os
import stat
from pathlib import Path

import pytest

from bayapp.files.shop.passwords import NAME, move_passwords, with_passwords
from bayapp.files.shop.settings import load_settings, save_settings, settings_file

WRITTEN = """# the shop's own
theme = "light"

[[sensor]]
id = "door"
name = "by the door"
kind = "mqtt"
host = "localhost"  # the broker in the office
user = "bay"
password = "wet gloves"
topic = [{ topic = "bay/air", gives = "air_c" }]
"""


@pytest.fixture
def store(tmp_path: Path) -> Path:
    settings_file(tmp_path).write_text(WRITTEN, encoding="utf-8")
    return tmp_path


@pytest.fixture
def no_keyring(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a machine without the library."""
    monkeypatch.setitem(__import__("sys").modules, "keyring", None)


def password(store: Path) -> str:
    (sensor,) = with_passwords(store, load_settings(store).sensor)
    return sensor.password


@pytest.mark.usefixtures("no_keyring")
def test_a_password_moves_once_into_a_file_of_its_own_and_the_rest_of_the_settings_stays(store: Path):
    before = os.umask(0)
    try:
        assert move_passwords(store)
    finally:
        os.umask(before)
    assert settings_file(store).read_text(encoding="utf-8") == WRITTEN.replace('password = "wet gloves"\n', "")
    assert not move_passwords(store)
    assert password(store) == "wet gloves"
    if os.name == "posix":
        assert {stat.S_IMODE((store / name).stat().st_mode) for name in (NAME, "settings.toml")} == {0o600}


@pytest.mark.usefixtures("no_keyring")
def test_a_touch_that_writes_the_settings_anew_does_not_bring_it_back(store: Path):
    move_passwords(store)
    save_settings(store, load_settings(store).model_copy(update={"theme": "dark"}))
    assert "wet gloves" not in settings_file(store).read_text(encoding="utf-8")
    assert password(store) == "wet gloves"


@pytest.mark.usefixtures("no_keyring")
def test_a_new_password_that_is_written_there_takes_the_place_of_the_old_one(store: Path):
    move_passwords(store)
    settings_file(store).write_text(WRITTEN.replace("wet gloves", "dry gloves"), encoding="utf-8")
    assert password(store) == "dry gloves"
    move_passwords(store)
    assert password(store) == "dry gloves"


@pytest.mark.usefixtures("no_keyring")
@pytest.mark.parametrize("content", ["{", "[]", ""])
def test_a_file_of_passwords_that_is_wrong_holds_none(store: Path, content: str):
    move_passwords(store)
    (store / NAME).write_text(content, encoding="utf-8")
    assert password(store) == ""


def test_where_the_system_has_a_keyring_they_lie_there_and_in_no_file(store: Path, monkeypatch: pytest.MonkeyPatch):
    keyring = pytest.importorskip("keyring", reason="the library keyring is not installed")
    from keyring.backend import KeyringBackend

    class InMemory(KeyringBackend):  # type: ignore[misc, unused-ignore] # the library is optional
        priority = 1

        def __init__(self) -> None:
            super().__init__()
            self.kept: dict[tuple[str, str], str] = {}

        def get_password(self, service: str, username: str) -> str | None:
            return self.kept.get((service, username))

        def set_password(self, service: str, username: str, password: str) -> None:
            self.kept[service, username] = password

    class Locked(InMemory):
        def set_password(self, service: str, username: str, password: str) -> None:
            raise PermissionError("the keyring is locked")

    before = keyring.get_keyring()
    try:
        keyring.set_keyring(Locked())
        move_passwords(store)
        assert json.loads((store / NAME).read_bytes()) == {"door": "wet gloves"}
        settings_file(store).write_text(WRITTEN, encoding="utf-8")
        keyring.set_keyring(InMemory())
        move_passwords(store)
        assert not (store / NAME).exists()
        assert "wet gloves" not in settings_file(store).read_text(encoding="utf-8")
        assert password(store) == "wet gloves"
    finally:
        keyring.set_keyring(before)
