"""Reads a TOML file into plain values, or says why it cannot be read."""

import re
import tomllib
from pathlib import Path

from bayapp.files.parsed_text import ParsedText
from bayapp.files.problems import BadFile, Finding
from bayapp.files.toml_positions import TomlPositions
from bayapp.text.language import _, later

LARGEST_TOML = 1_000_000
"""Bytes; a hundred times the largest file that people write."""

_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_PLAINER = {
    "Cannot overwrite a value": later("this key or table stands twice; leave one out, or write [[...]] for each"),
    "Cannot declare": later("this table stands twice; write the second as [[...]] or join the two"),
    "Invalid statement": later("this is no key and no table; write key = value, or [table], with # before a remark"),
    "Expected '=' after a key": later("after a key comes = and a value"),
    "Invalid date or datetime": later("the calendar has no such day or time; write e.g. 2026-11-25T08:00:00Z"),
    "Invalid value": later("this is no value; put text in double quotes, write numbers with a point and no unit"),
    "Unclosed array": later("a list is not closed; add ]"),
    "Unclosed inline table": later("a table in braces is not closed; add }"),
    "Unterminated string": later("a text is not closed; add the closing quote"),
    "Illegal character '\\n'": later("a text is not closed on its line; add the closing quote"),
    "Expected newline or end of document": later(
        "there is more on this line than one value; put text in double quotes"
    ),
}


def read_bytes(path: Path, largest: int) -> bytes:
    """Return the content of a file.

    Raises:
        BadFile: it is missing, not a file, too large, or not readable.
    """
    try:
        with path.open("rb") as file:
            raw = file.read(largest + 1)
    except FileNotFoundError as error:
        raise _unreadable(path, _("there is no such file")) from error
    except IsADirectoryError as error:
        raise _unreadable(path, _("this is a folder; name a file in it")) from error
    except (OSError, ValueError) as error:
        raise _unreadable(
            path, _("it cannot be read: {error}").format(error=getattr(error, "strerror", None) or error)
        ) from error
    if len(raw) > largest:
        raise _unreadable(
            path, _("it is larger than {size} MB, so it is not what it should be").format(size=largest // 1_000_000)
        )
    return raw


def decode(path: Path, raw: bytes) -> str:
    """Return bytes as text; a byte order mark before UTF-8 is dropped.

    Raises:
        BadFile: not UTF-8, or with NUL bytes in it.
    """
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _unreadable(path, _("it is saved as UTF-16; save it as UTF-8"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _unreadable(path, _("it is not UTF-8 text; save it as UTF-8"), line) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise _unreadable(path, _("it holds a NUL byte, so it is no text; save it as UTF-8 text"), line)
    return text


def read_toml(path: Path) -> ParsedText:
    """Return the values of a TOML file and where each is.

    Raises:
        BadFile: it cannot be read, or is not TOML.
    """
    text = decode(path, read_bytes(path, LARGEST_TOML))
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadFile([_syntax(path, text, str(error))]) from error
    except RecursionError as error:
        raise BadFile([Finding(str(path), None, "", _("lists stand inside lists too deep to be meant"))]) from error
    except ValueError as error:
        raise BadFile(
            [Finding(str(path), None, "", _("a value is out of all range: {error}").format(error=error))]
        ) from error
    return ParsedText(str(path), data, TomlPositions(text))


def _unreadable(path: Path, reason: str, line: int | None = None) -> BadFile:
    return BadFile([Finding(str(path), line, "", reason)], unreadable=True)


def _syntax(path: Path, text: str, message: str) -> Finding:
    at = _AT.search(message)
    bare = message[: at.start()] if at else message
    reason = next(
        (_(plain) for start, plain in _PLAINER.items() if bare.startswith(start)),
        _("this is not TOML: {bare}").format(bare=bare),
    )
    line = int(at[1]) if at and at[1] else len(text.rstrip().split("\n"))
    return Finding(str(path), line, "", reason, int(at[2]) if at and at[2] else None)
