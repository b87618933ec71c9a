"""The campaign tells what happened, and its table names tests that are there."""

import ast
from pathlib import Path

import pytest

from tests.soak.campaign import ROOT, main, run
from tests.soak.rows import ROWS, Row

TESTS = """
import os
import pytest
def test_holds(): assert os.environ.get("TIMES") in (None, "30")
def test_breaks(): assert 1 == 2, "the roof came off"
@pytest.mark.skip(reason="no right to mount")
def test_mounts(): pass
"""


@pytest.fixture(autouse=True)
def without_plugins(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tests of a row need none here, and load faster."""
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")


def row(name: str, *tests: str) -> Row:
    nodes = tuple(f"test_fault.py::{test}" for test in tests)
    return Row(name, nodes, nodes, {"TIMES": 60})


@pytest.mark.parametrize("minutes", [1, 30])
def test_a_row_is_broken_by_one_test_that_fails_and_skips_by_name_what_is_not_allowed(tmp_path: Path, minutes: float):
    (tmp_path / "test_fault.py").write_text(TESTS)
    rows = [row("one fault", "test_holds", "test_mounts"), row("another", "test_mounts", "test_breaks")]
    found = list(run(rows, minutes, tmp_path))
    one, another = map(str, found)
    assert [outcome.held for outcome in found] == [True, False]
    assert one.startswith("held    one fault")
    assert "1 cases passed" in one
    assert "skipped 1: no right to mount" in one
    assert another.startswith("BROKEN  another")
    assert "failed: test_breaks: AssertionError: the roof came off" in another


def test_a_row_whose_test_is_not_there_is_broken(tmp_path: Path):
    (tmp_path / "test_fault.py").write_text(TESTS)
    (found,) = run([row("a fault", "test_that_was_renamed")], 1, tmp_path)
    assert not found.held


def test_a_program_that_ends_badly_breaks_its_row(tmp_path: Path):
    (tmp_path / "fault.py").write_text("import sys\nprint('it leaked', sys.argv[1])\nsys.exit(int(sys.argv[1]) > 1)")
    leak = Row("a fault", program=("fault", 60), program_sample=1)
    ((short,), (long,)) = (list(run([leak], minutes, tmp_path)) for minutes in (2, 30))
    assert (short.held, short.told) == (True, ("it leaked 1",))
    assert (long.held, long.told) == (False, ("it leaked 30",))


def test_a_short_campaign_leaves_out_what_has_no_sample(tmp_path: Path):
    assert list(run([Row("a fault", ("test_fault.py",))], 2, tmp_path)) == []


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
