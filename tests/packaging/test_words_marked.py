"""Words for people stand inside ``_()``: a walk over the program's own syntax finds those that do not."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LOOKED_UP = {"_", "ngettext", "later"}
SPEAK = {
    "BadFile",
    "Finding",
    "finding",
    "echo",
    "complain",
    "bad_input",
    "BadParameter",
    "StoreProblem",
    "KeyMisfitError",
    "MisfitError",
}
"""Calls whose arguments a person reads, anywhere in the program."""
RAISED_IN = ("bayapp/job", "bayapp/files")
"""Where the text of a ValueError reaches people: pydantic hands it on to ``check`` and to the pages."""
EXCEPTIONS: dict[str, str] = {}
"""Modules that may speak plain English, each with its reason. None does today."""


def unmarked(code: str, raised: bool) -> list[tuple[int, str]]:
    """Return the lines and words of a module that a person reads and no catalogue holds."""
    nodes = [node for node in ast.walk(ast.parse(code)) if _speaks(node, raised)]
    return sorted({found for node in nodes for found in _bare(_arguments(node))})


def _speaks(node: ast.AST, raised: bool) -> bool:
    if not isinstance(node, ast.Call):
        return False
    name = getattr(node.func, "id", getattr(node.func, "attr", ""))
    return name in SPEAK or (raised and name == "ValueError")


def _arguments(node: ast.AST) -> list[ast.expr]:
    assert isinstance(node, ast.Call)
    return [*node.args, *(word.value for word in node.keywords)]


def _bare(nodes: list[ast.expr]) -> Iterator[tuple[int, str]]:
    for node in nodes:
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in LOOKED_UP:
            continue
        if isinstance(node, ast.Constant | ast.JoinedStr) and _two_words(node):
            yield node.lineno, ast.unparse(node)
        elif not isinstance(node, ast.Constant):
            yield from _bare([child for child in ast.iter_child_nodes(node) if isinstance(child, ast.expr)])


def _two_words(node: ast.Constant | ast.JoinedStr) -> bool:
    parts = [node] if isinstance(node, ast.Constant) else [p for p in node.values if isinstance(p, ast.Constant)]
    words = "0".join(part.value for part in parts if isinstance(part.value, str))
    return " " in words and len(re.findall(r"[A-Za-z]{2,}", words)) >= 2  # a key such as min_by_c is no sentence


def modules() -> list[Path]:
    return sorted((ROOT / "bayapp").rglob("*.py"))


def test_no_words_for_people_stand_outside_of_the_catalogue():
    found = []
    for path in modules():
        here = path.relative_to(ROOT).as_posix()
        if here in EXCEPTIONS:
            continue
        found += [
            (here, *place) for place in unmarked(path.read_text(encoding="utf-8"), raised=here.startswith(RAISED_IN))
        ]
    assert found == []


@pytest.mark.parametrize(
    "code",
    [
        'raise ValueError("no such day")',
        'raise ValueError(f"{zone} stands twice; leave one out")',
        'typer.echo(f"{n} files are fine")',
        'complain("give it longer" if slow else _("Stopped."))',
        'raise BadFile([source.finding(("zone", 1), "it has no path")])',
        'raise BadFile([Finding(str(path), None, "", reason="it is no text")])',
        'raise typer.BadParameter("only one of them", param_hint="--speed")',
    ],
)
def test_words_that_no_catalogue_holds_are_found(code: str):
    assert len(unmarked(code, raised=True)) == 1


@pytest.mark.parametrize(
    "code",
    [
        'raise ValueError(_("no such day"))',
        'raise ValueError(_("{zone} stands twice").format(zone=zone))',
        'raise ValueError("viewBox")',
        'raise KeyMisfitError(f"min_by_{by}", _("no row of it has that"))',
        "typer.echo(json.dumps(answer, indent=1))",
        'typer.echo(ngettext("{n} file is fine", "{n} files are fine", n).format(n=n))',
    ],
)
def test_marked_words_and_names_are_left_alone(code: str):
    assert unmarked(code, raised=True) == []


def test_a_value_error_counts_only_where_people_read_it():
    assert unmarked('raise ValueError("a plan has no steps")', raised=False) == []
