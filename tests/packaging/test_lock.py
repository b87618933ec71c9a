"""The locks name every library that pyproject asks for, in a version that it allows, each with its hashes."""

import importlib
import subprocess
import tomllib
from pathlib import Path
from types import ModuleType

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
WANTED = {"lock-run.txt": PROJECT["dependencies"], "lock-test.txt": PROJECT["optional-dependencies"]["test"]}


@pytest.fixture
def setup_here(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(ROOT / "packaging"))
    return importlib.import_module("setup_here")


def locked(name: str) -> dict[str, list[str]]:
    """Return each library of a lock, as it is required there, with its hashes."""
    found: dict[str, list[str]] = {}
    for line in (ROOT / "packaging" / name).read_text(encoding="utf-8").splitlines():
        if line.startswith("    --hash=sha256:"):
            found[next(reversed(found))].append(line.removesuffix("\\").strip())
        elif line:
            found[line.removesuffix("\\").strip()] = []
    return found


@pytest.mark.parametrize("name", WANTED)
def test_every_library_of_pyproject_is_locked_in_a_version_that_it_allows(name: str):
    have = {canonicalize_name(r.name): r for r in map(Requirement, locked(name))}
    for wanted in map(Requirement, WANTED[name]):
        (pin,) = have[canonicalize_name(wanted.name)].specifier
        assert pin.operator == "=="
        assert wanted.specifier.contains(pin.version), f"{name}: {wanted} is locked as {pin}; run packaging/lock.py"


@pytest.mark.parametrize("name", WANTED)
def test_every_library_has_its_hashes(name: str):
    assert all(hashes for hashes in locked(name).values())


def test_what_runs_is_the_same_with_and_without_the_tests():
    assert locked("lock-run.txt").items() <= locked("lock-test.txt").items()


def test_where_the_lock_does_not_fit_the_newest_that_do_are_taken_and_it_is_said(
    setup_here: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
):
    asked: list[tuple[str, ...]] = []

    def pip_install(*words: str) -> "subprocess.CompletedProcess[str]":
        asked.append(words)
        return subprocess.CompletedProcess([], "--require-hashes" in words, "", "No wheel for this processor")

    monkeypatch.setattr(setup_here, "pip_install", pip_install)
    monkeypatch.setattr(setup_here, "STAMP", tmp_path / "stamp")
    setup_here.install(tests=True)
    assert [words[0] for words in asked] == ["--require-hashes", "--editable"]
    said = capsys.readouterr().out
    assert "The locked versions cannot be had here" in said
    assert "No wheel for this processor" in said
    assert (tmp_path / "stamp").read_text(encoding="utf-8") == f"{setup_here.wanted_stamp()} test\n"
