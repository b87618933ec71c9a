"""Every mutant of a source file: one small change each, made by mutmut's operators on libcst's tree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import libcst as cst
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation.mutators import mutation_operators

NOT_ENTERED = (cst.Annotation, cst.Decorator, cst.ImportFrom, cst.Import)
TYPES = ("tuple", "dict", "Mapping", "Callable")
"""What a name for a type is made of; ``Annotated`` is none of them, for pydantic reads it."""
SIMPLE_DEFAULTS = (cst.Name, cst.BaseNumber, cst.BaseString)


@dataclass(frozen=True)
class Mutant:
    """One change.

    Attributes:
        path: the file, from the checkout's root.
        function: qualified name of the outermost function whose body is changed; empty for what runs at import.
        lines: first and last line of the statement that is changed.
        before, after: the changed lines as they were and as they are, without indentation.
        source: the whole file, changed.
    """

    path: str
    function: str
    lines: tuple[int, int]
    before: str
    after: str
    source: str

    @property
    def place(self) -> str:
        """Return file and line."""
        return f"{self.path}:{self.lines[0]}"


@dataclass(frozen=True)
class Change:
    """A node and what takes its place; cheap to make, so that a sample is drawn before any source is written."""

    path: str
    wrapper: MetadataWrapper
    old: cst.CSTNode
    new: cst.CSTNode
    function: str
    lines: tuple[int, int]

    def mutant(self) -> Mutant:
        """Return the change carried out."""
        module = self.wrapper.module
        changed = module.deep_replace(self.old, self.new)
        assert isinstance(changed, cst.Module)
        text = changed.code
        before, after = _difference(module.code.splitlines(), text.splitlines())
        return Mutant(self.path, self.function, self.lines, before, after, text)


def changes(root: Path, path: str) -> list[Change]:
    """Return every change that the operators know for a file."""
    wrapper = MetadataWrapper(cst.parse_module((root / path).read_text(encoding="utf-8")))
    return list(_Finder(path, wrapper).inside(wrapper.module, "", "", (1, 1)))


class _Finder:
    def __init__(self, path: str, wrapper: MetadataWrapper) -> None:
        self.path = path
        self.wrapper = wrapper
        self.positions = wrapper.resolve(PositionProvider)

    def inside(self, node: cst.CSTNode, scope: str, function: str, lines: tuple[int, int]) -> Iterator[Change]:
        """Yield the changes of a node and of all below it."""
        if _left_alone(node):
            return
        if isinstance(node, cst.SimpleStatementLine | cst.BaseCompoundStatement):
            lines = self._head(node)
        for new in _replacements(node):
            yield Change(self.path, self.wrapper, node, new, function, lines)
        if isinstance(node, cst.ClassDef | cst.FunctionDef) and not function:
            scope = f"{scope}.{node.name.value}".lstrip(".")
        for child in node.children:
            in_body = isinstance(node, cst.FunctionDef) and child is node.body
            yield from self.inside(child, scope, function or (scope if in_body else ""), lines)

    def _head(self, node: cst.CSTNode) -> tuple[int, int]:
        """Return the lines of a statement without those of its body."""
        where = self.positions[node]
        body = getattr(node, "body", None)
        last = self.positions[body].start.line - 1 if isinstance(body, cst.IndentedBlock) else where.end.line
        return where.start.line, max(where.start.line, last)


def _replacements(node: cst.CSTNode) -> Iterator[cst.CSTNode]:
    """Yield what may stand instead of a node; of the three ways to change a text the first is enough."""
    for kind, operator in mutation_operators:
        if isinstance(node, kind):
            yield from islice(operator(node), 1 if isinstance(node, cst.BaseString) else None)


def _left_alone(node: cst.CSTNode) -> bool:
    """Say whether a change in here would mean nothing, or would stop the import; mutmut leaves out the same.

    Left alone besides: what mypy and ruff read and the running program does not, so that no test can see it.
    """
    match node:
        case cst.Expr(value=cst.SimpleString() | cst.ConcatenatedString()):
            return True
        case cst.Call(func=cst.Name(value="len" | "isinstance")):
            return True
        case cst.Assign(value=cst.Call(func=cst.Name(value="NewType"))):
            return True
        case cst.Assign(targets=[cst.AssignTarget(target=cst.Name(value="__all__"))]):
            return True
        case cst.Assign(value=cst.Subscript(value=cst.Name(value=name))) if name in TYPES:
            return True
        case cst.Param(default=default) if default is not None and not isinstance(default, SIMPLE_DEFAULTS):
            return True
    return isinstance(node, NOT_ENTERED)


def _difference(before: list[str], after: list[str]) -> tuple[str, str]:
    """Return the lines that differ, from the first to the last."""
    start = next((i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), 0)
    end = next((i for i, (a, b) in enumerate(zip(before[::-1], after[::-1], strict=False)) if a != b), 0)
    old, new = before[start : len(before) - end], after[start : len(after) - end]
    return " ".join(map(str.strip, old)), " ".join(map(str.strip, new))
