"""Whatever is done to a file, the answer is a model or findings, never anything else."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bayapp.files.event_lines import parse_line
from bayapp.files.library import Library
from bayapp.files.problems import BadFile, Finding
from tests.files.broken import DRAWING, EVENTS, JOB, PRODUCT, RECIPE, VEHICLE

PIECES = [
    "",
    '"',
    "'",
    '"""',
    "=",
    "[",
    "]]",
    "{",
    "}",
    "#",
    ",",
    "\n",
    "\\",
    "\r",
    "nan",
    "-1",
    "9" * 5000,
    "[[",
    "é",
    "\0",
]
GOOD = [JOB, RECIPE, PRODUCT, VEHICLE]


@st.composite
def damaged(draw: st.DrawFn, texts: list[str]) -> str:
    text = draw(st.sampled_from(texts))
    for _ in range(draw(st.integers(1, 3))):
        begin = draw(st.integers(0, len(text)))
        end = draw(st.integers(begin, min(len(text), begin + 20)))
        text = text[:begin] + draw(st.sampled_from(PIECES) | st.text(max_size=5)) + text[end:]
    return text


def findings(read: Callable[[], object]) -> tuple[Finding, ...] | None:
    try:
        read()
    except BadFile as bad:
        return bad.findings
    return None


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "own-van.svg").write_text(DRAWING)
    return tmp_path


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=damaged(GOOD))
def test_a_damaged_file_is_answered_with_findings(text: str, folder: Path):
    path = folder / "own.toml"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    found = findings(lambda: Library().check(path))
    assert found is None or (found and all(finding.reason for finding in found))


@settings(max_examples=300, deadline=None)
@given(line=damaged(EVENTS.splitlines()))
def test_a_damaged_line_is_answered_with_findings(line: str):
    found = findings(lambda: parse_line("events.jsonl", 1, line))
    assert found is None or {finding.line for finding in found} == {1}
