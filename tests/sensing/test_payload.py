"""What stands in a message: a number, a number in JSON, a moment beside it; and everything that is none."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.shop.sensor_settings import Topic
from bayapp.sensing.payload import BadMessageError, read_message

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def topic(**more: object) -> Topic:
    return Topic.model_validate({"topic": "bay/air", "gives": "air_c", **more})


@pytest.mark.parametrize(("payload", "value"), [(b"21.5", 21.5), (b" -3 \n", -3.0), (b"2.1e1", 21.0)])
def test_a_plain_number_is_read(payload: bytes, value: float):
    assert read_message(topic(), payload) == (value, None)


@pytest.mark.parametrize(
    ("key", "payload", "value"),
    [
        ("t", b'{"t": 21.5}', 21.5),
        ("air.t", b'{"air": {"t": "21.5"}}', 21.5),
        ("list.1.t", b'{"list": [0, {"t": 7}]}', 7.0),
    ],
)
def test_a_number_in_json_is_found_by_its_key(key: str, payload: bytes, value: float):
    assert read_message(topic(key=key), payload) == (value, None)


@pytest.mark.parametrize(
    "said", ['"2026-03-02T12:00:00Z"', '"2026-03-02T13:00:00+01:00"', "1772452800", "1772452800000", '"1772452800"']
)
def test_a_moment_may_be_rfc_3339_or_seconds_or_milliseconds_since_1970(said: str):
    """1772452800 is 2026-03-02T12:00:00Z (``date -u -d @1772452800``)."""
    message = f'{{"t": 20, "when": {said}}}'.encode()
    assert read_message(topic(key="t", time_key="when"), message) == (20.0, NOON)


@pytest.mark.parametrize(
    ("more", "payload", "why"),
    [
        ({}, b"", "not a number"),
        ({}, b"warm", "not a number"),
        ({}, b"nan", "air can have"),
        ({}, b"inf", "air can have"),
        ({}, b"\xff\xfe2", "not UTF-8"),
        ({}, b"1" * 70_000, "bytes are no message"),
        ({"key": "t"}, b"21.5", "has no 't'"),
        ({"key": "t"}, b"{", "not JSON"),
        ({"key": "t"}, b"[" * 20_000, "not JSON"),
        ({"key": "t"}, b'{"t": true}', "not a number"),
        ({"key": "t"}, b'{"t": null}', "not a number"),
        ({"key": "t", "time_key": "w"}, b'{"t": 20}', "has no 'w'"),
        ({"key": "t", "time_key": "w"}, b'{"t": 20, "w": "soon"}', "no moment"),
        ({"key": "t", "time_key": "w"}, b'{"t": 20, "w": "2026-03-02T12:00:00"}', "no time zone"),
        ({"key": "t", "time_key": "w"}, b'{"t": 20, "w": 1e300}', "no moment"),
    ],
)
def test_what_is_no_message_of_a_sensor_is_refused(more: dict[str, object], payload: bytes, why: str):
    with pytest.raises(BadMessageError, match=why):
        read_message(topic(**more), payload)


@given(st.binary(max_size=200), st.sampled_from(["", "t", "a.0"]), st.sampled_from(["", "w"]))
def test_any_bytes_are_a_number_or_are_refused(payload: bytes, key: str, time_key: str):
    try:
        value, _ = read_message(topic(key=key, time_key=time_key), payload)
    except BadMessageError:
        return
    assert abs(value) < float("inf")
