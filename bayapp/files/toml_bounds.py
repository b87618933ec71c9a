"""Judges a TOML text before it is parsed, and its values before they are checked: none larger or deeper than written.

tomllib's time and memory grow with the square of a dotted key's length, and lists inside lists end its stack.
"""

import re
from collections.abc import Iterator

from bayapp.files.bounds import (
    DEEPEST,
    LARGEST_WHOLE_NUMBER,
    LONGEST_LINE,
    LONGEST_TEXT,
    MOST_ENTRIES,
    MOST_KEY_PARTS,
    MOST_KEYS,
    MOST_KEYS_IN_LINE,
    MOST_LINES,
)
from bayapp.files.toml_positions import KeyPath
from bayapp.text.language import _

# Each alternative ends at the latest where the text ends, so that one pass finds them all.
_TEXT_OR_REMARK = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"{3,5}|\Z)'
    r"|'''.*?(?:'{3,5}|\Z)"
    r'|"(?:\\[^\n]|[^"\\\n])*+"?'
    r"|'[^'\n]*+'?"
    r"|\#[^\n]*+",
    re.DOTALL,
)
_LONG_KEY = re.compile(rf"(?<![\w-])[\w-]++(?:[ \t]*+\.[ \t]*+[\w-]++){{{MOST_KEY_PARTS}}}")
_TABLE = re.compile(r"^[ \t]*+\[", re.MULTILINE)


class TooMuch(Exception):  # noqa: N818 - named for what the person reads
    """A text or value is beyond a bound of ``bounds``; the sentence says which.

    Attributes:
        line: of the text, from 1; None where it is about all of it.
        at: the key of the value; empty where it is about the text.
    """

    def __init__(self, reason: str, line: int | None = None, at: KeyPath = ()) -> None:
        super().__init__(reason)
        self.line, self.at = line, at


def judge_text(text: str) -> None:
    """Judge a TOML text by its lines, keys and brackets, without parsing it.

    Raises:
        TooMuch: it is beyond a bound.
    """
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        reason = _("{n} lines stand in it; at most {most} are read, so it is not what it should be")
        raise TooMuch(reason.format(n=len(lines), most=MOST_LINES))
    for number, line in enumerate(lines, 1):
        if len(line) > LONGEST_LINE:
            reason = _("this line has {n} characters; at most {most} are read, so break it or shorten it")
            raise TooMuch(reason.format(n=len(line), most=LONGEST_LINE), number)
    bare = _TEXT_OR_REMARK.sub(_its_lines, text)
    if long := _LONG_KEY.search(bare):
        reason = _("a key has more than {most} names with dots between them; write at most {most}")
        raise TooMuch(reason.format(most=MOST_KEY_PARTS), _line_at(bare, long.start()))
    keys = bare.count("=") + len(_TABLE.findall(bare))
    if keys > MOST_KEYS:
        reason = _("{n} keys and tables stand in it; at most {most} are read, so it is not what it should be")
        raise TooMuch(reason.format(n=keys, most=MOST_KEYS))
    for number, line in enumerate(bare.split("\n"), 1):
        if line.count("=") > MOST_KEYS_IN_LINE:
            reason = _("{n} keys stand on this line; write at most {most} on one line")
            raise TooMuch(reason.format(n=line.count("="), most=MOST_KEYS_IN_LINE), number)
    _judge_depth(bare)


def judge_values(data: dict[str, object]) -> None:
    """Judge parsed values by how many stand in one list or table, and how long or large each is.

    Raises:
        TooMuch: one is beyond a bound.
    """
    for path, value in _values(data):
        if isinstance(value, list | dict) and len(value) > MOST_ENTRIES:
            reason = _("{n} entries stand in it; at most {most} are read")
            raise TooMuch(reason.format(n=len(value), most=MOST_ENTRIES), at=path)
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            reason = _("this text has {n} characters; at most {most} are read")
            raise TooMuch(reason.format(n=len(value), most=LONGEST_TEXT), at=path)
        if isinstance(value, int) and abs(value) > LARGEST_WHOLE_NUMBER:
            raise TooMuch(_("this number is out of all range; write one that can be meant"), at=path)


def _its_lines(found: re.Match[str]) -> str:
    """Return what stands for a text or remark: a name on as many lines, because a text may be part of a key."""
    return "" if found[0][0] == "#" else "s" + "\n" * found[0].count("\n")


def _line_at(text: str, offset: int) -> int:
    return text.count("\n", 0, offset) + 1


def _judge_depth(bare: str) -> None:
    depth = 0
    for found in re.finditer(r"[\[\]{}]", bare):
        depth += 1 if found[0] in "[{" else -1
        if depth > DEEPEST:
            reason = _("lists stand inside lists too deep to be meant; at most {most} inside one another are read")
            raise TooMuch(reason.format(most=DEEPEST), _line_at(bare, found.start()))


def _values(data: object, path: KeyPath = ()) -> Iterator[tuple[KeyPath, object]]:
    """Yield every value with its path; no deeper than the bounds of the text let it be."""
    yield path, data
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for part, value in inside:
        yield from _values(value, (*path, part))
