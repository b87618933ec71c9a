"""The figures of mutation.py are worth something: it meets the right tests, knows its list, changes what it says."""

import importlib
from pathlib import Path
from textwrap import dedent
from types import ModuleType

import pytest

FAST, OTHER, SLOW = "tests/job/test_a.py::fast", "tests/air/test_dew.py::other", "tests/job/test_a.py::slow"
ELSEWHERE = "tests/job/test_a.py::elsewhere"
NOWHERE = "tests/job/test_a.py::runs-no-line-of-it"
ROOT = Path("/tree")
SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"


@pytest.fixture(autouse=True)
def scripts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(SCRIPTS))


@pytest.fixture
def mutation(scripts: None) -> ModuleType:
    return importlib.import_module("mutation")


class Changed:
    """A mutant as far as the choice of its tests goes."""

    path, function, lines = "bayapp/air/dew.py", "dew_point", (3, 4)


def met_by(mutation: ModuleType, mutant: object) -> list[str]:
    lines = {3: ["", SLOW, FAST], 4: [OTHER], 9: [ELSEWHERE]}
    seconds = {
        NOWHERE: 0.05,
        FAST: 0.1,
        OTHER: 0.2,
        SLOW: mutation.SLOWEST_S + 1,
        "tests/job/test_a.py::elsewhere": 0.3,
    }
    tests = mutation.Tests(seconds, {str(ROOT / "bayapp/air/dew.py"): lines})
    found: list[str] = tests.reaching(mutant, ROOT)
    return found


def test_a_mutant_meets_the_tests_that_run_its_lines_those_of_the_mirroring_file_first(mutation: ModuleType):
    assert met_by(mutation, Changed()) == [OTHER, FAST]


def test_a_mutant_of_what_runs_at_import_meets_every_test_those_that_run_a_line_of_the_module_first(
    mutation: ModuleType,
):
    at_import = Changed()
    at_import.function = ""
    assert met_by(mutation, at_import) == [OTHER, FAST, ELSEWHERE, NOWHERE]


def test_the_list_of_survivors_is_read_by_file_and_change(mutation: ModuleType):
    text = dedent("""\
        Words for people.

        bayapp/air/dew.py
        - if a < b:
        + if a <= b:
        = equivalent: a is never b
        - x = 1
        + x = 2
        = wording only
        """)
    assert mutation.read_reasons(text) == {
        ("bayapp/air/dew.py", "if a < b:", "if a <= b:"): "equivalent: a is never b",
        ("bayapp/air/dew.py", "x = 1", "x = 2"): "wording only",
    }


def test_what_the_list_of_survivors_names_still_stands_in_the_code(mutation: ModuleType):
    listed = mutation.read_reasons((SCRIPTS / "mutation_survivors.txt").read_text())
    gone = [(path, before) for path, before, _after in listed if before not in joined(SCRIPTS.parent / path)]
    assert listed
    assert gone == []


def joined(file: Path) -> str:
    return " ".join(line.strip() for line in file.read_text().splitlines()) if file.exists() else ""


SOURCE = '''\
"""Twelve months."""

from dataclasses import dataclass
from typing import NewType

MONTHS = 12
Span = tuple[int, int]
Name = NewType("Name", str)
__all__ = ["MONTHS", "Year"]


@dataclass
class Year:
    """A year."""

    first: int = 1

    @property
    def last(self) -> int:
        """Its last month."""
        return self.first + MONTHS


def size(words: list[str]) -> int:
    if len(words) > 3:
        return 1
    return 0
'''


def test_each_mutant_is_one_change_with_its_place_and_the_function_that_it_lies_in(tmp_path: Path):
    mutants = pytest.importorskip("mutants", reason="mutation.py installs what makes mutants")
    (tmp_path / "year.py").write_text(SOURCE)
    made = [change.mutant() for change in mutants.changes(tmp_path, "year.py")]
    assert {(m.function, m.lines, m.before, m.after) for m in made} == {
        ("", (6, 6), "MONTHS = 12", "MONTHS = None"),
        ("", (6, 6), "MONTHS = 12", "MONTHS = 13"),
        ("", (16, 16), "first: int = 1", "first: int = None"),
        ("", (16, 16), "first: int = 1", "first: int = 2"),
        ("Year.last", (21, 21), "return self.first + MONTHS", "return self.first - MONTHS"),
        ("size", (25, 25), "if len(words) > 3:", "if len(words) >= 3:"),
        ("size", (25, 25), "if len(words) > 3:", "if len(words) > 4:"),
        ("size", (26, 26), "return 1", "return 2"),
        ("size", (27, 27), "return 0", "return 1"),
    }
    for mutant in made:
        assert mutant.source != SOURCE
        compile(mutant.source, "year.py", "exec")
