"""Reads a TOML file into plain values, or says why it cannot be read."""

import re
import tomllib
from pathlib import Path

from bayapp.files.bounds import LARGEST_TOML
from bayapp.files.parsed_text import ParsedText
from bayapp.files.plain_file import decode, read_bytes
from bayapp.files.problems import BadFile, Finding
from bayapp.files.readable_texts import expect_readable
from bayapp.files.toml_bounds import TooMuch, judge_text, judge_values
from bayapp.files.toml_positions import TomlPositions
from bayapp.text.language import _, later

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


def read_toml(path: Path) -> ParsedText:
    """Return the values of a TOML file and where each is.

    Raises:
        BadFile: it cannot be read, is not TOML, is beyond a bound, or holds texts that nobody could read.
    """
    text = decode(path, read_bytes(path, LARGEST_TOML))
    data = _parsed(path, text)
    source = ParsedText(str(path), data, TomlPositions(text))
    try:
        judge_values(data)
    except TooMuch as much:
        raise BadFile([source.finding(much.at, str(much))]) from much
    expect_readable(source)
    return source


def _parsed(path: Path, text: str) -> dict[str, object]:
    try:
        judge_text(text)
        return tomllib.loads(text)
    except TooMuch as much:
        raise BadFile([Finding(str(path), much.line, "", str(much))]) from much
    except tomllib.TOMLDecodeError as error:
        raise BadFile([_syntax(path, text, str(error))]) from error
    except ValueError as error:
        raise BadFile(
            [Finding(str(path), None, "", _("a value is out of all range: {error}").format(error=error))]
        ) from error


def _syntax(path: Path, text: str, message: str) -> Finding:
    at = _AT.search(message)
    bare = message[: at.start()] if at else message
    reason = next(
        (_(plain) for start, plain in _PLAINER.items() if bare.startswith(start)),
        _("this is not TOML: {bare}").format(bare=bare),
    )
    line = int(at[1]) if at and at[1] else len(text.rstrip().split("\n"))
    return Finding(str(path), line, "", reason, int(at[2]) if at and at[2] else None)
