"""What DEVELOPERS.md names is there: files, folders, and the names it says stand in them."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MOST_LINES = 140


def named(text: str) -> set[str]:
    """Return the files and folders between backticks; NAME, ROOM and TAG stand for anything."""
    found = set(re.findall(r"`((?:[\w.-]+/)*[\w.-]+\.(?:py|md|toml|svg|pot)|(?:[\w.-]+/)+)`", text))
    return {name for name in found if not re.search(r"NAME|ROOM|TAG", name)}


def found(name: str) -> Path | None:
    """Return a file or folder by the path from the top, from ``bayapp`` or from one of its rooms."""
    places = (ROOT, ROOT / "bayapp", *(ROOT / "bayapp").iterdir())
    return next((folder / name for folder in places if (folder / name).exists()), None)


def test_every_file_and_folder_that_is_named_is_there():
    assert len(named(TEXT)) > 40
    assert sorted(name for name in named(TEXT) if not found(name)) == []


def test_a_file_that_is_not_there_would_be_found():
    assert named("Open `job/teapot.py`, then `spout/`.") == {"job/teapot.py", "spout/"}
    assert not found("job/teapot.py")


NAMES = sorted(set(re.findall(r"`((?:[\w-]+/)+[\w-]+\.py)` `([A-Za-z_.]+)`", TEXT)))


@pytest.mark.parametrize(("file", "name"), NAMES, ids=[" ".join(pair) for pair in NAMES])
def test_what_is_said_to_stand_in_a_file_stands_there(file: str, name: str):
    path = found(file)
    assert path
    assert name.rsplit(".", maxsplit=1)[-1] in path.read_text(encoding="utf-8")


def test_a_newcomer_reads_it_in_one_go():
    assert len(TEXT.splitlines()) <= MOST_LINES
