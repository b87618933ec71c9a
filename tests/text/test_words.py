"""One word has one meaning: what the manual's page "Words" replaced is said nowhere any more."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

import bayapp
from bayapp.paths import resource

REPLACED = (
    r"\bopens in\b",
    r"\bfit to coat",
    r"\bnot today\b",
    r"\bdays? of 10",
    r"\bfinished at\b",
    r"\bnine days of ten\b",
)


@cache
def spoken() -> dict[str, str]:
    """Return every sentence that the program looks up for people, and where it stands."""
    found: dict[str, str] = {}
    for file in Path(bayapp.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("_", "later"):
                found |= {
                    a.value: file.name for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)
                }
    return found


@pytest.mark.parametrize("words", REPLACED)
def test_words_that_a_practitioner_stumbled_on_are_said_no_more(words: str):
    sentences = spoken()
    assert "Save" in sentences, "sentences are found"
    assert {s: file for s, file in sentences.items() if re.search(words, s, re.IGNORECASE)} == {}
    manual = resource("help").glob("*.md")
    assert [page.name for page in manual if re.search(words, page.read_text(encoding="utf-8"), re.IGNORECASE)] == []


@pytest.mark.parametrize("word", ["wait", "set aside", "not in the job", "may get wet", "done", "too late"])
def test_the_words_of_the_board_stand_on_the_page_about_words(word: str):
    assert word in spoken()
    assert f"**{word}**" in resource("help", "words.md").read_text(encoding="utf-8")
