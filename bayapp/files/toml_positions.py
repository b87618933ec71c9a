"""Finds the line on which a key of a TOML text stands, which tomllib does not report."""

import re
from bisect import bisect_right
from collections.abc import Mapping

KeyPath = tuple[str | int, ...]

_PART = r"""[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*'"""
_DOTTED = rf"(?:{_PART})(?:[ \t]*\.[ \t]*(?:{_PART}))*"
_LINE = re.compile(rf"[ \t]*(?:(?P<open>\[\[?)[ \t]*(?P<table>{_DOTTED})[ \t]*\]|(?P<key>{_DOTTED})[ \t]*=)")
_TOKEN = re.compile(
    r""" "{3}(?:\\.|[^\\])*?"{3,5} | '{3}.*?'{3,5} | "(?:\\.|[^"\\\n])*" | '[^'\n]*' """
    r""" | \#[^\n]* | [\[\]{}\n] | [^\[\]{}\n"'#]+ | . """,
    re.DOTALL | re.VERBOSE,
)


class TomlPositions:
    """The lines of the keys and tables of one TOML text that parses."""

    def __init__(self, text: str) -> None:
        self._text = text.replace("\r\n", "\n")
        self._starts = [0, *(m.end() for m in re.finditer("\n", self._text))]
        self._lines: dict[KeyPath, int] = {}
        self._last_of: dict[KeyPath, int] = {}
        self._scan()

    def line_of(self, path: KeyPath) -> int | None:
        """Return the line of the key, else of the nearest enclosing key or table; None for the whole file."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return self._lines[path[:length]]
        return None

    def line_naming(self, path: KeyPath, word: str) -> int | None:
        """Return the line in the table at ``path`` that a word refers to, else the table's own line.

        That is the last table with this id, else the first key of this name, else the last line with it in quotes.
        """
        inside = {known: line for known, line in self._lines.items() if known[: len(path)] == path}
        lines = self._text.split("\n")
        quoted = [n for n in inside.values() if f'"{word}"' in lines[n - 1] or f"'{word}'" in lines[n - 1]]
        ids = [n for known, n in inside.items() if known[-1] == "id" and n in quoted]
        keys = [n for known, n in inside.items() if known[-1] == word]
        return max(ids) if ids else min(keys) if keys else max(quoted, default=self.line_of(path))

    def _scan(self) -> None:
        table: KeyPath = ()
        here, end = 0, len(self._text)
        while here < end:
            found = _LINE.match(self._text, here)
            if found and found["table"]:
                table = self._enter(_parts(found["table"]), found["open"] == "[[", here)
                self._lines.setdefault(table, self._line_at(here))
            elif found:
                path: KeyPath = table
                for part in _parts(found["key"]):
                    path = (*path, part)
                    self._lines.setdefault(path, self._line_at(here))
            here = self._after_value(found.end() if found else here)

    def _enter(self, parts: tuple[str, ...], array: bool, here: int) -> KeyPath:
        """Return the path of a table header; each array on the way means its last table so far."""
        path: KeyPath = ()
        for place, part in enumerate(parts, 1):
            path = (*path, part)
            if array and place == len(parts):
                self._lines.setdefault(path, self._line_at(here))
                self._last_of[path] = self._last_of.get(path, -1) + 1
            if path in self._last_of:
                path = (*path, self._last_of[path])
        return path

    def _after_value(self, here: int) -> int:
        """Return where the line after this value begins; strings and brackets may span many lines."""
        depth = 0
        for token in _TOKEN.finditer(self._text, here):
            if token[0] in ("[", "{"):
                depth += 1
            elif token[0] in ("]", "}"):
                depth -= 1
            elif token[0] == "\n" and depth <= 0:
                return token.end()
        return len(self._text)

    def _line_at(self, offset: int) -> int:
        return bisect_right(self._starts, offset)


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in re.findall(_PART, dotted))


def in_words(path: KeyPath, data: object) -> str:
    """Return a key's path in words, counted from 1: "step 2 (coat-1), wait.max"."""
    said: list[str] = []
    keys: list[str] = []
    for part in path:
        data = _child(data, part)
        if isinstance(part, str):
            keys.append(part)
            continue
        called = data.get("id") or data.get("name") if isinstance(data, Mapping) else None
        said.append(f"{'.'.join(keys)} {part + 1}".strip() + (f" ({called})" if isinstance(called, str) else ""))
        keys = []
    return ", ".join([*said, ".".join(keys)] if keys else said)


def _child(data: object, part: str | int) -> object:
    if isinstance(data, Mapping):
        return data.get(part)
    if isinstance(data, list) and isinstance(part, int) and part < len(data):
        return data[part]
    return None
