"""Rules of the house that no linter knows."""

import ast
import re
import tomllib
from pathlib import Path

import pytest

from tests.conftest import LONGEST_FIRST

ROOT = Path(__file__).resolve().parents[1]


def test_every_library_that_bayapp_requires_is_listed_with_its_licence():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    names = {re.split(r"[<>=\[ ]", requirement)[0] for requirement in project["dependencies"]}
    rows = re.findall(
        r"^\| (\S+) \| \S+ \| (.+?) \|", (ROOT / "packaging" / "THIRD-PARTY.md").read_text(), flags=re.MULTILINE
    )
    assert names - {name for name, licence in rows if licence.strip()} == set()


def test_the_version_is_the_same_in_the_package_and_in_pyproject():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert f'__version__ = "{project["version"]}"' in (ROOT / "bayapp" / "__init__.py").read_text()


def test_the_files_that_are_begun_first_are_there():
    assert set(LONGEST_FIRST) <= {file.name for file in (ROOT / "tests").rglob("test_*.py")}


ALLOWED_PRIVATE = {
    ("tests/bench/test_bench_planner_answer.py", "_wanted"): "times the taking of an answer without a process",
    ("tests/bench/test_bench_planner_answer.py", "_hear"): "times the taking of an answer without a process",
    ("tests/bench/test_bench_planner_answer.py", "_look_ahead"): "times what else runs a second after a question",
    ("tests/bench/start_programs.py", "_exit"): "os._exit is public in spite of its name",
    ("tests/record/test_migration_kill.py", "_exit"): "os._exit is public in spite of its name",
    ("tests/screen/whole_program/board_program.py", "_exit"): "os._exit is public in spite of its name",
    ("tests/test_paths.py", "_MEIPASS"): "a frozen program finds its folder by this name in sys",
}
"""Each private member that a test reaches, and why. What is not here is tested through the public door."""


def private_members(code: str) -> set[str]:
    """Return the private names that a module reads of others, imports, or sets by name."""
    found = set()
    for node in ast.walk(ast.parse(code)):
        match node:
            case ast.Attribute(value=ast.Name(id="self" | "cls")):
                continue
            case ast.Attribute(attr=name):
                found.add(name)
            case ast.ImportFrom(module=module, names=names):
                found |= {part for name in names for part in (*(module or "").split("."), name.name)}
            case ast.Call(func=ast.Attribute(attr="setattr" | "delattr") | ast.Name(id="getattr" | "setattr")):
                words = [a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
                found |= {word.split(".")[-1] for word in words}
    return {name for name in found if re.fullmatch(r"_[A-Za-z]\w*", name)}


def test_tests_reach_private_members_only_where_a_reason_is_given():
    found = {
        (file.relative_to(ROOT).as_posix(), name)
        for file in (ROOT / "tests").rglob("*.py")
        for name in private_members(file.read_text())
    }
    assert found - ALLOWED_PRIVATE.keys() == set(), "test it through the public door, or say why not in ALLOWED_PRIVATE"
    assert ALLOWED_PRIVATE.keys() - found == set(), "is allowed and not needed any more"


@pytest.mark.parametrize(
    "code",
    [
        "wall._tiles",
        "print(wall.pages._tiles[0])",
        "from bayapp.screen.wall import _tiles",
        "from bayapp._tiles import wall",
        'patch.setattr(wall, "_tiles", 1)',
        'patch.setattr("bayapp.screen.wall._tiles", 1)',
        'getattr(wall, "_tiles")',
    ],
)
def test_every_way_to_a_private_member_is_seen(code: str):
    assert private_members(code) == {"_tiles"}


def test_what_is_ones_own_a_dunder_or_the_catalogues_underscore_is_not_private():
    assert private_members("self._tiles\nwall.__class__\nfrom bayapp.text.language import _\n'_tiles'") == set()
