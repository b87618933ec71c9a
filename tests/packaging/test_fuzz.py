"""What fuzzing started from and what it found is read again each time; and the fuzzer notices what goes wrong."""

import importlib
import math
import random
from pathlib import Path
from types import ModuleType

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "packaging"
KEPT = SCRIPTS.parent / "tests" / "data" / "fuzz"
FILES = sorted(file for file in KEPT.rglob("*") if file.is_file())


@pytest.fixture(autouse=True)
def scripts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(SCRIPTS))


@pytest.fixture
def fuzz(scripts: None) -> ModuleType:
    return importlib.import_module("fuzz")


@pytest.fixture
def targets(scripts: None) -> ModuleType:
    return importlib.import_module("fuzz_targets")


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}-{file.name}")
def test_what_was_kept_ends_in_a_value_or_in_words(file: Path, targets: ModuleType):
    targets.TARGETS[file.parent.name](file.read_bytes())


def test_every_importer_has_seeds(fuzz: ModuleType, targets: ModuleType):
    assert fuzz.names() == sorted(targets.TARGETS)
    assert all(targets.kept(name) for name in targets.TARGETS)


def test_the_first_input_of_each_fault_is_kept_and_the_run_goes_on(fuzz: ModuleType, tmp_path: Path):
    def read(data: bytes) -> None:
        if b"!" in data:
            raise KeyError("!")
        if b"?" in data:
            raise ValueError("?")

    judge = fuzz.Judge(tmp_path, read, math.inf)
    for data in (b"fine", b"a!", b"b!", b"c?", b"fine"):
        judge(data)
    assert sorted(file.read_bytes() for file in tmp_path.iterdir()) == [b"a!", b"c?"]


def test_without_atheris_seeds_are_changed_at_random_and_the_same_each_time(fuzz: ModuleType):
    seed = b"abc" * 50
    once, again = ([fuzz.changed(seed, chance) for _ in range(200)] for chance in (random.Random(1), random.Random(1)))
    assert once == again
    assert len(set(once)) > 150
    assert all(len(fuzz.changed(b"x" * fuzz.LARGEST, random.Random(n))) <= fuzz.LARGEST for n in range(50))
