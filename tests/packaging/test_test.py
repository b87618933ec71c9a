"""Which checks run, and how: all that is quick in two processes, what is long or measured alone."""

import importlib.util
import shlex
import sys
from pathlib import Path
from types import ModuleType

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"


@pytest.fixture
def script(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Load the script by its place: a library of Python bears its name."""
    monkeypatch.syspath_prepend(str(SCRIPTS))
    spec = importlib.util.spec_from_file_location("run_checks", SCRIPTS / "test.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def lines_of(script: ModuleType, line: str) -> list[str]:
    found = script.commands(Path("bin/python"), *script.read_arguments(shlex.split(line)))
    return [" ".join(command) for command in found]


def test_without_words_every_check_runs_and_the_tests_in_two_processes(script: ModuleType):
    *checks, tests = lines_of(script, "")
    assert [check.split()[0] for check in checks] == ["bin/ruff", "bin/ruff"]
    assert "-n 2 --dist loadfile" in tests
    options, _rest = script.read_arguments([])
    beside = [" ".join(command) for command in script.checkers(Path("bin/python"), options)]
    assert [check.split(" -")[0] for check in beside] == ["bin/python", "bin/lint-imports"]
    assert beside[0].endswith("-m mypy")


def python(program: str) -> list[str]:
    return [sys.executable, "-c", program]


def test_what_runs_beside_the_tests_is_shown_after_them_and_its_failure_is_one(
    script: ModuleType, capfd: pytest.CaptureFixture[str]
):
    assert script.run_all([python("print('tested')")], [python("print('typed')"), python("print('linted')")]) == 0
    output = capfd.readouterr().out
    assert "\ntested\n" in output
    assert output.index("\ntested") < output.index("\ntyped") < output.index("\nlinted")
    wrong = [python("print('a mistake'); raise SystemExit(3)"), python("")]
    assert script.run_all([python("")], wrong) == 3
    output = capfd.readouterr().out
    assert "\na mistake\n" in output
    assert "Failed with exit code 3" in output
    assert script.run_all([python("raise SystemExit(4)")], wrong) == 4


def test_nothing_runs_after_or_beside_once_a_check_has_failed(script: ModuleType, capfd: pytest.CaptureFixture[str]):
    assert script.run_all([python("raise SystemExit(5)"), python("print('tested')")], [python("print('typed')")]) == 5
    output = capfd.readouterr().out
    assert "\ntested" not in output
    assert "\ntyped" not in output


def test_other_words_go_to_pytest_and_have_the_last_say(script: ModuleType):
    assert lines_of(script, "-n 0 tests/job")[-1].endswith("--no-loadscope-reorder -n 0 tests/job")


@pytest.mark.parametrize("line", ["--slow", "--bench", "-p no:xdist", "-pno:xdist"])
def test_what_is_long_or_measured_or_asked_to_run_alone_does(script: ModuleType, line: str):
    assert "-n 2" not in lines_of(script, line)[-1]
    options, _rest = script.read_arguments(shlex.split(line))
    assert bool(script.checkers(Path("bin/python"), options)) is ("xdist" in line)
