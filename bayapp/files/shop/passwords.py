"""The passwords of a shop's brokers: in the system's keyring where there is one, else in a file of their own.

A person writes a password into ``settings.toml``. The next start of the wall takes it out of there, because that file
is written anew at many a touch, copied and shown around.
"""

import json
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from threading import Thread
from typing import Any, Protocol, TypeVar

from bayapp.files.atomic_write import write_whole
from bayapp.files.bounds import LARGEST_TOML
from bayapp.files.plain_file import decode, read_bytes
from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.files.shop.settings import settings_file

NAME = "passwords.json"
SERVICE = "bayapp"
KEYRING_ANSWERS_IN_S = 2.0
"""A keyring that is locked asks somebody to open it; at a wall nobody is there to do so."""

Answer = TypeVar("Answer")


class Keyring(Protocol):
    """What is used of the library ``keyring``."""

    def get_password(self, service: str, username: str) -> str | None:
        """Return a password, or None."""

    def set_password(self, service: str, username: str, password: str) -> None:
        """Keep a password."""


def move_passwords(store: Path) -> bool:
    """Take passwords out of the settings of a store, if there are any; return whether there were.

    Each is kept elsewhere, and read back from there, before it is taken out.

    Raises:
        BadFile, OSError: a file cannot be read or written; what was in the settings is still there.
    """
    import tomlkit  # noqa: PLC0415 (only who changes the settings pays for it)

    path = settings_file(store)
    document = tomlkit.parse(decode(path, read_bytes(path, LARGEST_TOML)))
    written = [table for table in document.get("sensor", []) if table.get("password")]
    for table in written:
        _keep(store, str(table["id"]), str(table["password"]))
        del table["password"]
    if written:
        write_whole(path, tomlkit.dumps(document).encode())
    return bool(written)


def with_passwords(store: Path, sensors: Sequence[SensorSettings]) -> tuple[SensorSettings, ...]:
    """Return sensors with the passwords that are kept for them."""
    return tuple(
        sensor.model_copy(update={"password": _kept(store, sensor.id)})
        if sensor.user and not sensor.password
        else sensor
        for sensor in sensors
    )


def _keep(store: Path, sensor: str, password: str) -> None:
    keyring, name = _keyring(), _name(store, sensor)
    if keyring:
        _in_time(lambda: keyring.set_password(SERVICE, name, password))
        if _in_time(lambda: keyring.get_password(SERVICE, name)) == password:
            _write(store, {key: value for key, value in _read(store).items() if key != sensor})
            return
    _write(store, {**_read(store), sensor: password})


def _kept(store: Path, sensor: str) -> str:
    in_file = _read(store).get(sensor)
    if in_file is not None:
        return in_file
    keyring = _keyring()
    return (keyring and _in_time(lambda: keyring.get_password(SERVICE, _name(store, sensor)))) or ""


def _name(store: Path, sensor: str) -> str:
    return f"{store.absolute()} {sensor}"


def _read(store: Path) -> dict[str, str]:
    try:
        found: Any = json.loads((store / NAME).read_bytes())
    except (OSError, ValueError):
        return {}
    return {str(key): str(value) for key, value in found.items()} if isinstance(found, dict) else {}


def _write(store: Path, passwords: dict[str, str]) -> None:
    if passwords:
        write_whole(store / NAME, json.dumps(passwords).encode())
    else:
        (store / NAME).unlink(missing_ok=True)


def _keyring() -> Keyring | None:
    """Return the system's keyring, or None where the library or a safe keyring is missing."""
    try:
        import keyring  # noqa: PLC0415 (an optional library)
    except ImportError:
        return None
    found: Keyring = keyring.get_keyring()
    return found if getattr(found, "priority", 0) >= 1 else None


def _in_time(ask: Callable[[], Answer]) -> Answer | None:
    """Return the keyring's answer, or None where it fails or gives none soon."""
    answers: list[Answer] = []

    def work() -> None:
        with suppress(Exception):  # each keyring has errors of its own
            answers.append(ask())

    thread = Thread(target=work, daemon=True)
    thread.start()
    thread.join(KEYRING_ANSWERS_IN_S)
    return answers[0] if answers else None
