"""The chain of the entries: each carries a checksum over itself and over the entry before it.

The checksum of an entry is the SHA-256, in hexadecimal, of the checksum of the entry before (of the first entry:
``FIRST``) followed by the entry's canonical form by RFC 8785, an object of seq, at_ms, name, job, body, boot_id,
boot_ms and wall_ms. So whoever changes, drops or swaps an entry breaks the chain there, and the last checksum stands
for all.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from typing import NamedTuple

import rfc8785

FIRST = "0" * 64
LARGEST_EXACT = 2**53 - 1
"""The largest whole number that RFC 8785 lets stand (its section 3.2.2.3, by ECMA-262)."""


@dataclass(frozen=True, slots=True)
class Head:
    """The last entry of a journal: its number, 0 where there is none, and its checksum."""

    seq: int
    checksum: str


NOTHING = Head(0, FIRST)


class Entry(NamedTuple):
    """What an entry says, as it stands in the table.

    Attributes:
        body: the event, in canonical form.
        before: the checksum of the entry before; None where there is no such entry.
    """

    seq: int
    at_ms: int
    name: str
    job: str | None
    body: str
    boot_id: str
    boot_ms: int
    wall_ms: int
    checksum: str = ""
    before: str | None = None


class _NotPlainError(Exception):
    """A number that Python's own JSON may write otherwise than the canonical form does."""


def _small(digits: str) -> int:
    number = int(digits)
    if abs(number) > LARGEST_EXACT:
        raise _NotPlainError
    return number


def _fraction(digits: str) -> float:
    raise _NotPlainError


_PLAIN_READER = json.JSONDecoder(parse_float=_fraction, parse_int=_small, parse_constant=_fraction)
_PLAIN_FORM = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))
"""Python's own JSON: the canonical form where all is ASCII and no number has a fraction, in a third of the time."""


def canonical(text: str) -> str:
    """Return JSON in its canonical form.

    Raises:
        ValueError: it is no JSON, or holds a number that JSON cannot hold exactly.
    """
    try:
        form = _PLAIN_FORM.encode(_PLAIN_READER.decode(text))
    except _NotPlainError:
        form = ""
    return form if form.isascii() and form else rfc8785.dumps(json.loads(text)).decode()


def form_of(entry: Entry) -> str:
    """Return an entry's canonical form; written out because 100,000 of them are checked at a start."""
    return (
        f'{{"at_ms":{entry.at_ms},"body":{entry.body},"boot_id":{_text(entry.boot_id)},"boot_ms":{entry.boot_ms},'
        f'"job":{_text(entry.job)},"name":{_text(entry.name)},"seq":{entry.seq},"wall_ms":{entry.wall_ms}}}'
    )


def checksum_of(entry: Entry, before: str) -> str:
    """Return the checksum of an entry that follows the one of the checksum ``before``."""
    return sha256((before + form_of(entry)).encode("utf-8", "surrogatepass")).hexdigest()


def first_broken(entries: Iterable[Entry]) -> int | None:
    """Return the number of the first entry that is not as it was written; None where all are."""
    for entry in entries:
        before = FIRST if entry.seq == 1 else entry.before
        if before is None or checksum_of(entry, before) != entry.checksum:
            return entry.seq
    return None


@lru_cache(maxsize=1_000)
def _text(text: str | None) -> str:
    """Return a name in canonical form; there are few, and each stands in many entries."""
    try:
        return rfc8785.dumps(text).decode()
    except rfc8785.CanonicalizationError:  # no text: it is not as it was written
        return repr(text)
