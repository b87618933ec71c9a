"""The canonical form against the standard's own samples, and the chain that is made of it."""

import json
import struct
from hashlib import sha256
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.record.chain import FIRST, Entry, canonical, checksum_of, first_broken, form_of

NAME, JOB = "note-written/1", 'Büro "2"'


def line(
    seq: int = 1,
    at_ms: int = 5,
    name: str = NAME,
    job: str | None = JOB,
    body: str = '{"a":1}',
    boot_id: str = "boot",
    boot_ms: int = 7,
    wall_ms: int = 8,
    checksum: str = "",
    before: str | None = FIRST,
) -> Entry:
    return Entry(seq, at_ms, name, job, body, boot_id, boot_ms, wall_ms, checksum, before)


def test_the_sample_of_the_standard_comes_out_byte_for_byte():
    """RFC 8785, section 3.2.2 (input) and 3.2.4 (bytes)."""
    given = r"""{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }"""
    expected = """
      7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72
      75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
      5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31
      65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
      5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30
      30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
    """
    assert canonical(given).encode() == bytes.fromhex(expected)


def test_names_are_sorted_by_their_utf_16_as_in_the_standard():
    """RFC 8785, section 3.2.3."""
    given = (
        r'{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",'
        r'"\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}'
    )
    assert list(json.loads(canonical(given)).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


@pytest.mark.parametrize(
    ("bits", "expected"),
    [
        ("0000000000000000", "0"),
        ("8000000000000000", "0"),
        ("0000000000000001", "5e-324"),
        ("8000000000000001", "-5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("ffefffffffffffff", "-1.7976931348623157e+308"),
        ("4340000000000000", "9007199254740992"),
        ("c340000000000000", "-9007199254740992"),
        ("4430000000000000", "295147905179352830000"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"),
        ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"),
        ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"),
        ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"),
        ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_numbers_are_written_as_in_the_table_of_the_standard(bits: str, expected: str):
    """RFC 8785, appendix B: the bits of a double, and how it is written."""
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(repr(number)) == expected


PLAIN = st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(st.characters(max_codepoint=127))
ANY = PLAIN | st.floats(allow_nan=False, allow_infinity=False) | st.text()


def nested(leaves: st.SearchStrategy[Any], names: st.SearchStrategy[str]) -> st.SearchStrategy[Any]:
    return st.recursive(leaves, lambda inner: st.lists(inner) | st.dictionaries(names, inner), max_leaves=12)


@settings(max_examples=150)
@given(nested(PLAIN, st.text(st.characters(max_codepoint=127))) | nested(ANY, st.text()))
def test_whatever_json_holds_is_written_as_the_library_of_the_standard_does(content: Any):
    """Most entries take a quicker way than the library; it must come to the same bytes."""
    assert canonical(json.dumps(content)).encode() == rfc8785.dumps(content)


@pytest.mark.parametrize("text", ["9007199254740992", "-9007199254740992", "1e400", "NaN", '{"a": 123456789012345678}'])
def test_a_number_that_cannot_be_held_exactly_is_refused(text: str):
    with pytest.raises((rfc8785.IntegerDomainError, rfc8785.FloatDomainError)):
        canonical(text)


def test_an_entry_is_written_out_as_the_library_would():
    whole: dict[str, Any] = {
        "seq": 1,
        "at_ms": 5,
        "name": NAME,
        "job": JOB,
        "body": {"a": 1},
        "boot_id": "boot",
        "boot_ms": 7,
        "wall_ms": 8,
    }
    assert form_of(line()).encode() == rfc8785.dumps(whole)
    assert form_of(line(job=None)).encode() == rfc8785.dumps({**whole, "job": None})
    assert checksum_of(line(), FIRST) == sha256(FIRST.encode() + rfc8785.dumps(whole)).hexdigest()


def chained(number: int, changed: int = 0, **change: Any) -> list[Entry]:
    """Entries as they are written, one of them changed afterwards."""
    entries: list[Entry] = []
    before = FIRST
    for seq in range(1, number + 1):
        checksum = checksum_of(line(seq), before)
        fields = {"checksum": checksum, "before": before, **(change if seq == changed else {})}
        entries.append(line(seq, **fields))
        before = checksum
    return entries


def test_a_chain_as_it_was_written_is_whole():
    assert first_broken(chained(5)) is None


@pytest.mark.parametrize(
    "change",
    [
        {"at_ms": 6},
        {"name": "note-written/2"},
        {"job": None},
        {"body": '{"a":2}'},
        {"boot_id": ""},
        {"boot_ms": 70},
        {"wall_ms": 80},
        {"before": None},
        {"checksum": FIRST},
    ],
)
def test_whatever_of_an_entry_was_changed_it_is_named(change: dict):
    assert first_broken(chained(5, changed=3, **change)) == 3
