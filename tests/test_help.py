"""The manual in ``resources/help``: what it names is there, and what it shows as an example is right."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from typer.main import get_command

from bayapp.cli import app
from bayapp.files.library import Library
from bayapp.files.shop.settings import load_settings
from bayapp.job.model.ids import Person
from bayapp.paths import resource

ROOT = Path(__file__).resolve().parents[1]
HELP = ROOT / "resources" / "help"
INDEX = HELP / "README.md"
TOPICS = sorted(path for path in HELP.glob("*.md") if path != INDEX)
MOST_LINES = 90
"""What two screens of a file viewer hold."""


def text(name: str) -> str:
    return (HELP / f"{name}.md").read_text(encoding="utf-8")


def examples(name: str, language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text(name), re.DOTALL)


@cache
def words_of_the_program() -> frozenset[str]:
    """Every sentence that the program looks up in the catalogue."""
    found: set[str] = set()
    for path in (ROOT / "bayapp").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("_", "later"):
                found |= {a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)}
    return frozenset(found)


def named_by_touch(page: str) -> set[str]:
    """Return what a page tells one to touch under "More": "**More, Settings, Keys**" names two buttons beside it."""
    chains = re.findall(r"\*\*(More(?:, [^*]+)?)\*\*", page)
    return {part for chain in chains for part in chain.removesuffix(".").split(", ")}


def test_the_list_of_topics_names_every_page_once_and_no_other():
    linked = re.findall(r"^- \[[^]]+\]\(([^)]+)\): \S", INDEX.read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(linked) == [path.name for path in TOPICS]


@pytest.mark.parametrize("path", TOPICS, ids=lambda path: path.stem)
def test_a_topic_is_called_in_the_list_as_it_calls_itself(path: Path):
    heading = path.read_text(encoding="utf-8").splitlines()[0]
    assert f"- [{heading.removeprefix('# ')}]({path.name}): " in INDEX.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", [*TOPICS, INDEX, ROOT / "README.md"], ids=lambda path: path.stem)
def test_every_button_that_a_page_names_under_more_is_on_the_wall(path: Path):
    assert named_by_touch(path.read_text(encoding="utf-8")) <= words_of_the_program()


def test_a_button_that_is_not_there_would_be_found():
    assert named_by_touch("**More, Settings, Teapot**.") == {"More", "Settings", "Teapot"}
    assert "Teapot" not in words_of_the_program()


@pytest.mark.parametrize("path", [*TOPICS, INDEX, ROOT / "README.md"], ids=lambda path: path.stem)
def test_every_link_leads_to_a_file(path: Path):
    for target in re.findall(r"\]\(([^)#]+)\)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", TOPICS, ids=lambda path: path.stem)
def test_a_topic_that_sends_one_to_another_names_one_that_is_there(path: Path):
    titles = {topic.read_text(encoding="utf-8").splitlines()[0].removeprefix("# ") for topic in TOPICS}
    assert set(re.findall(r"(?<!\*)\*([A-Z][^*]+)\*(?!\*)", path.read_text(encoding="utf-8"))) <= titles


def test_the_example_of_settings_can_be_loaded_and_shows_every_setting(tmp_path: Path):
    (written,) = examples("settings", "toml")
    (tmp_path / "settings.toml").write_text(written, encoding="utf-8")
    settings = load_settings(tmp_path)
    assert settings.people == ("Ash", "Bo")
    assert [str(hours) for hours in settings.hours] == ["08:00-12:30", "13:00-18:00"]
    assert settings.cannot[Person("Bo")] == ("polish",)
    named = set(re.findall(r"^(\w+) =", written.split("[keys")[0], re.MULTILINE))
    assert named == set(type(settings).model_fields) - {"keys", "cannot", "sensor"}


def test_the_example_of_a_job_can_be_loaded(tmp_path: Path):
    path = tmp_path / "green.toml"
    path.write_text("\n".join(examples("job-files", "toml")), encoding="utf-8")
    job = Library(resource()).load_job(path)
    assert [(zone, mark.kind) for zone, marks in job.marks.items() for mark in marks] == [("bonnet", "film")]
    assert [(block.zones, block.recipe.name) for block in job.blocks] == [(("windscreen",), "glass-three-layers")]


def test_every_form_that_comes_along_is_named():
    forms = {path.stem for path in resource("vehicles").glob("*.toml")}
    named = re.search(r"^Forms: (.*?)\. ", text("job-files"), re.MULTILINE | re.DOTALL)
    assert named
    assert set(re.findall(r"`([^`]+)`", named[1])) == forms


def test_every_command_is_named_and_every_named_command_is_there():
    commands = {name for name, command in get_command(app).commands.items() if not command.hidden}  # type: ignore[attr-defined]
    assert set(re.findall(r"`bayapp ([a-z]+)", text("commands"))) == commands


def test_the_readme_is_read_on_two_screens():
    assert len((ROOT / "README.md").read_text(encoding="utf-8").splitlines()) <= MOST_LINES
