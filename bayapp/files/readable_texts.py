"""Finds texts of a file that nobody could read on the wall or on paper."""

from collections.abc import Iterator

from bayapp.files.bounds import MOST_FINDINGS
from bayapp.files.parsed_text import ParsedText
from bayapp.files.problems import BadFile
from bayapp.files.toml_positions import KeyPath
from bayapp.text.readable import fault_in

_ON_LINES = frozenset({"how", "cautions", "text"})
"""Keys of texts that may have several lines."""
_FOR_MACHINES = frozenset({"password", "ca_file", "backups", "folder", "device"})
"""Keys of texts that no person reads: secrets, and places on this machine, which are called what they are called."""


def expect_readable(source: ParsedText) -> None:
    """Judge all texts and names of a source.

    Raises:
        BadFile: with each that cannot be read.
    """
    wrong = list(_faults(source.data, (), ""))[:MOST_FINDINGS]
    if wrong:
        raise BadFile([source.finding(path, reason) for path, reason in wrong])


def _faults(value: object, path: KeyPath, key: str) -> Iterator[tuple[KeyPath, str]]:
    """Yield the place and fault of each text, and of each name of a key; ``key`` is the nearest one above."""
    if isinstance(value, str) and key not in _FOR_MACHINES:
        if fault := fault_in(value, one_line=key not in _ON_LINES):
            yield path, fault
    elif isinstance(value, list):
        for place, entry in enumerate(value):
            yield from _faults(entry, (*path, place), key)
    elif isinstance(value, dict):
        for name, entry in value.items():
            if fault := fault_in(name):
                yield path, fault
            yield from _faults(entry, (*path, name), name)
