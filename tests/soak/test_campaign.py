"""The campaign tells what happened, and its table names tests that are there."""

import ast
from pathlib import Path

import pytest

from tests.soak.campaign import ROOT, main, run_row
from tests.soak.rows import ROWS, Row

TESTS = """
import os
import pytest
def test_holds(): assert os.environ.get("TIMES", "1") == "1"
def test_breaks(): assert 1 == 2, "the roof came off"
@pytest.mark.skip(reason="no right to mount")
def test_mounts(): pass
"""


@pytest.fixture(autouse=True)
def without_plugins(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tests of a row need none here, and load faster."""
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")


def outcome(folder: Path, *names: str, minutes: float = 2) -> tuple[bool, str]:
    (folder / "test_fault.py").write_text(TESTS)
    nodes = tuple(f"test_fault.py::{name}" for name in names)
    found = run_row(Row("a fault", nodes, nodes, {"TIMES": 60}), minutes, folder)
    assert found
    return found.held, str(found)


def test_a_row_holds_where_its_tests_pass_and_skips_by_name_what_is_not_allowed(tmp_path: Path):
    held, told = outcome(tmp_path, "test_holds", "test_mounts", minutes=1)
    assert held
    assert told.startswith("held    a fault")
    assert "1 cases passed" in told
    assert "skipped 1: no right to mount" in told


def test_a_row_is_broken_by_one_test_that_fails_and_says_which(tmp_path: Path):
    held, told = outcome(tmp_path, "test_holds", "test_breaks", minutes=1)
    assert not held
    assert "BROKEN" in told
    assert "failed: test_breaks: AssertionError: the roof came off" in told


def test_a_row_whose_test_is_not_there_is_broken(tmp_path: Path):
    assert not outcome(tmp_path, "test_that_was_renamed")[0]


def test_a_program_that_ends_badly_breaks_its_row(tmp_path: Path):
    (tmp_path / "fault.py").write_text("import sys\nprint('it leaked', sys.argv[1])\nsys.exit(int(sys.argv[1]) > 1)")
    row = Row("a fault", program=("fault", 60), program_sample=1)
    short, long = run_row(row, 2, tmp_path), run_row(row, 30, tmp_path)
    assert short
    assert (short.held, short.told) == (True, ("it leaked 1",))
    assert long
    assert (long.held, long.told) == (False, ("it leaked 30",))


def test_a_short_campaign_leaves_out_what_has_no_sample(tmp_path: Path):
    assert run_row(Row("a fault", ("test_fault.py",)), 2, tmp_path) is None


@pytest.mark.parametrize("row", ROWS, ids=[row.fault for row in ROWS])
def test_every_row_names_tests_that_are_there(row: Row):
    for node in (*row.tests, *row.sample):
        file, _, name = node.partition("::")
        tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
        assert not name or name in {part.name for part in ast.walk(tree) if isinstance(part, ast.FunctionDef)}
    assert bool(row.tests) != bool(row.program)
    if row.program:
        assert (ROOT / (row.program[0].replace(".", "/") + ".py")).is_file()


def test_the_campaign_lists_its_rows(capsys: pytest.CaptureFixture[str]):
    assert main(["--list"]) == 0
    assert capsys.readouterr().out.splitlines() == [row.fault for row in ROWS]
