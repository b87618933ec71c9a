"""What every test gets: Qt off screen, and no way to this person's own data."""

import os

import pytest

# Before anything imports Qt. A test that opens a real window on its own display sets "xcb" for that process.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(autouse=True)
def own_data_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Point the user's data and settings folders at an empty one, so that no test writes to the real store."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
