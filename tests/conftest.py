"""What every test gets: Qt off screen, and no way to this person's own data. Two workers share the tests by file."""

import gc
import os

import pytest

from bayapp.text.language import USUAL, use_language

# Before anything imports Qt. A test that opens a real window on its own display sets "xcb" for that process.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


LONGEST_FIRST = (
    "test_player_real_sound.py",
    "test_kill.py",
    "test_real_window.py",
    "test_every_page.py",
    "test_every_page_in_other_words.py",
)
"""The other sound server (``test_sound_of_the_board.py``) comes much later, so that never two of them play at once."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Under pytest-xdist begin with the files that take longest, or the last worker would be left alone with them."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: item.path.name not in LONGEST_FIRST)


def pytest_collection_finish() -> None:
    """Spare the collector, and whoever looks for leftovers, all that was imported and collected: it lives on anyway."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def one_application(qapp: object) -> None:
    """Be the process's one Qt application before a command in it makes a lesser one; Qt allows no second."""


@pytest.fixture(scope="session", autouse=True)
def in_english() -> None:
    """Speak English, whatever this machine speaks."""
    use_language(USUAL)


@pytest.fixture(autouse=True)
def own_data_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Point the user's data and settings folders at an empty one, so that no test writes to the real store."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
