"""What DEVELOPERS.md names is there: files, folders, and the names it says stand in them."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MOST_LINES = 150


def named(text: str) -> set[str]:
    """Return the files and folders between backticks; NAME, ROOM and TAG stand for anything."""
    found = set(re.findall(r"`((?:[\w.-]+/)*[\w.-]+\.(?:py|md|toml|svg|pot)|(?:[\w.-]+/)+)`", text))
    return {name for name in found if not re.search(r"NAME|ROOM|TAG", name)}


def found(name: str) -> Path | None:
    """Return a file or folder by the path from the top or from ``bayapp``; a short one also by that from a room."""
    places = (ROOT, ROOT / "bayapp", *((ROOT / "bayapp").iterdir() if name.count("/") <= 1 else ()))
    return next((folder / name for folder in places if (folder / name).exists()), None)


def test_every_file_and_folder_that_is_named_is_there():
    assert len(named(TEXT)) > 40
    assert sorted(name for name in named(TEXT) if not found(name)) == []


def test_a_file_that_is_not_there_would_be_found():
    assert named("Open `job/teapot.py`, then `spout/`.") == {"job/teapot.py", "spout/"}
    assert not found("job/teapot.py")


def defined(source: str) -> set[str]:
    """Return the classes, functions and names that a module or one of its classes defines."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign):
            names |= {target.id for target in node.targets if isinstance(target, ast.Name)}
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
    return names


NAMES = sorted(set(re.findall(r"`((?:[\w-]+/)+[\w-]+\.py)` `([A-Za-z_.]+)`", TEXT)))


@pytest.mark.parametrize(("file", "name"), NAMES, ids=[" ".join(pair) for pair in NAMES])
def test_what_is_said_to_stand_in_a_file_stands_there(file: str, name: str):
    path = found(file)
    assert path
    assert name.rsplit(".", maxsplit=1)[-1] in defined(path.read_text(encoding="utf-8"))


def test_a_name_that_is_only_spoken_of_is_not_defined():
    assert defined("LEAST: int = 3\nclass Pot:\n    def pour(self, cup): ...\n    lid = 1\nboil(Pot)") == {
        "LEAST",
        "Pot",
        "pour",
        "lid",
    }


def test_it_stays_short_enough_to_be_read_before_the_first_change():
    assert len(TEXT.splitlines()) <= MOST_LINES
