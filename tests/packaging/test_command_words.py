"""Commands run in both pseudo-locales: nothing that they say is left in plain English."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from bayapp.paths import resource
from bayapp.text.language import USUAL, use_language
from tests.cli.run import bayapp
from tests.files.broken import DRAWING
from tests.files.test_library import BROKEN, GOOD, findings
from tests.screen.languages import PSEUDO, catalogue_script, english, speaking

BAD_RECIPE = """\
format = "bayapp-recipe/1"
name = "Not an id"
titl = "x"
[[step]]
id = "a"
kind = "cot"
minutes = "x"
wait = { min = -4 }
"""
TWICE = """\
format = "bayapp-recipe/1"
name = "own"
[[step]]
id = "a"
kind = "wipe"
[[step]]
id = "a"
kind = "wipe"
"""
JOB = resource() / "jobs" / "estate-glass-and-rims.toml"
COMMON = 3
"""So many words in a row of one sentence, unchanged, are plain English; fewer may be a name or a value."""


@pytest.fixture(scope="module")
def script() -> ModuleType:
    return catalogue_script()


@pytest.fixture(scope="module")
def catalogues(script: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("locale")
    script.write_pseudo(made, english())
    return Path(made)


@pytest.fixture(scope="module")
def runs(script: ModuleType) -> set[tuple[str, ...]]:
    """Every three words in a row that some sentence of the catalogue has and its accented form has not."""
    found = set()
    for message in english():
        for form in message.id if isinstance(message.id, tuple) else (message.id,):
            found |= {run for run in in_a_row(form) if " ".join(run).translate(script.ACCENTED) != " ".join(run)}
    return found


def in_a_row(text: str) -> set[tuple[str, ...]]:
    """Return the words of a text, three by three, not across what is filled in or across a mark of a sentence."""
    found = set()
    for stretch in re.split(r"\{[^{}]*\}|[^\w\s'-]|\n", text):
        words = stretch.split()
        found |= {tuple(words[n : n + COMMON]) for n in range(len(words) - COMMON + 1)}
    return {run for run in found if all(re.fullmatch(r"[A-Za-z'-]+", word) for word in run)}


@pytest.fixture
def machine_speaks(catalogues: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Set the machine's language: commands that read settings choose by it anew."""

    def speak(tag: str) -> None:
        monkeypatch.setattr("bayapp.text.language.resource", lambda _name: catalogues)
        monkeypatch.setenv("LANGUAGE", tag)
        assert use_language() == tag.replace("_", "-")

    yield speak
    use_language(USUAL)


def said(*words: object) -> str:
    ran = bayapp(*words)
    return str(ran.stdout) + str(ran.stderr)


@pytest.fixture
def commands(tmp_path: Path) -> list[tuple[object, ...]]:
    for name, text in (("bad", BAD_RECIPE), ("twice", TWICE), ("torn", "a = [")):
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    (tmp_path / "events.jsonl").write_text('{"act": "jump"}\n{"act": "start"}\nno\n', encoding="utf-8")
    return [
        ("check", *sorted(tmp_path.glob("*.toml")), tmp_path / "none.toml"),
        ("check", JOB),
        ("replay", JOB, tmp_path / "events.jsonl"),
        ("air", "--air-c", 20, "--rh-percent", 50),
        ("air", "--air-c", 20, "--rh-percent", 95, "--surface-c", 12),
        ("air", "--air-c", 20, "--rh-percent", 50, "--margin-c", 99),
        ("air", "--air-c", 20, "--rh-percent", 150),
        ("air", "--air-c", 300, "--rh-percent", 50),
        ("air", "--air-c", 20, "--rh-percent", 50, "--surface-c", 300),
        ("doctor", "--store", tmp_path, "--only", "store"),
        ("doctor", "--store", tmp_path, "--only", "clock"),
        ("doctor", "--store", tmp_path, "--only", "sensors"),
        ("plan", JOB, "--without", "spoiler"),
        ("report", "--out", tmp_path, "--store", tmp_path / "none"),
    ]


@pytest.mark.parametrize("tag", PSEUDO)
def test_commands_leave_no_sentence_in_plain_english(
    tag: str,
    machine_speaks: Callable[[str], None],
    runs: set[tuple[str, ...]],
    commands: list[tuple[object, ...]],
):
    machine_speaks(tag.replace("-", "_"))
    output = {" ".join(map(str, words)): said(*words) for words in commands}
    assert all(output.values())
    assert {command: in_a_row(text) & runs for command, text in output.items() if in_a_row(text) & runs} == {}


def test_plain_english_would_be_found(runs: set[tuple[str, ...]], commands: list[tuple[object, ...]]):
    use_language(USUAL)
    assert all(in_a_row(said(*words)) & runs for words in commands if words[0] in ("check", "air") and words[1] != JOB)


def test_the_help_of_every_command_is_in_the_catalogue(catalogues: Path):
    with speaking("en-XA", catalogues):
        assert "Çhéçk jöb" in said("--help")
        assert "Témpéràtüré öf thé àîr" in said("air", "--help")


@pytest.mark.parametrize("tag", PSEUDO)
def test_what_is_wrong_with_a_file_stands_at_the_same_place_in_every_language(
    tag: str, catalogues: Path, tmp_path: Path
):
    (tmp_path / "own-van.svg").write_text(DRAWING)
    path, moved = tmp_path / "own.toml", []
    for kind, all_broken in BROKEN.items():
        for broken in all_broken:
            path.write_text(broken.text(GOOD[kind]))
            places = [(f.line, f.column, f.where) for f in findings(path)]
            with speaking(tag, catalogues):
                if [(f.line, f.column, f.where) for f in findings(path)] != places:
                    moved.append((kind, broken.name))
    assert moved == []
