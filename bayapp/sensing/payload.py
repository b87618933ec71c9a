"""Parses the payload of an MQTT message: a plain number, or a number and its time in JSON."""

import json
import math
from datetime import UTC, datetime

from bayapp.files.shop.sensor_settings import Topic
from bayapp.text.language import _

MOST_BYTES = 65_536
MILLISECONDS_FROM = 1e11
"""As seconds since 1970 this would be past the year 5000, so a timestamp this large is in milliseconds."""


class BadMessageError(ValueError):
    """The message holds no such number: check that topic and key in the settings are those of the sensor."""


def read_message(topic: Topic, payload: bytes) -> tuple[float, datetime | None]:
    """Return the number in a message, and its timestamp if it has one.

    Raises:
        BadMessageError: there is no number in it.
    """
    if len(payload) > MOST_BYTES:
        raise BadMessageError(_("{n} bytes are no message of a sensor").format(n=len(payload)))
    try:
        text = payload.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadMessageError(_("it is not UTF-8 text")) from error
    if not topic.key and not topic.time_key:
        return _number(text), None
    try:
        whole = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadMessageError(_("{text!r} is not JSON").format(text=text[:40])) from error
    number = _number(_at(whole, topic.key) if topic.key else whole)
    return number, _timestamp(_at(whole, topic.time_key)) if topic.time_key else None


def _at(whole: object, key: str) -> object:
    for part in key.split("."):
        if isinstance(whole, dict) and part in whole:
            whole = whole[part]
        elif isinstance(whole, list) and part.isdecimal() and int(part) < len(whole):
            whole = whole[int(part)]
        else:
            raise BadMessageError(_("it has no {key!r}").format(key=key))
    return whole


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise BadMessageError(_("{value!r} is not a number").format(value=str(value)[:40]))
    try:
        number = float(value)
    except (ValueError, OverflowError) as error:
        raise BadMessageError(_("{value!r} is not a number").format(value=str(value)[:40])) from error
    if not math.isfinite(number):
        raise BadMessageError(_("{number} is not a number that air can have").format(number=number))
    return number


def _timestamp(value: object) -> datetime:
    try:
        if isinstance(value, str) and not _numeric(value):
            moment = datetime.fromisoformat(value)
            if moment.tzinfo is None:
                raise BadMessageError(_("{value!r} says no time zone").format(value=value))
            return moment.astimezone(UTC)
        seconds = _number(value)
        return datetime.fromtimestamp(seconds / 1000 if abs(seconds) >= MILLISECONDS_FROM else seconds, UTC)
    except BadMessageError:
        raise
    except (ValueError, OverflowError, OSError) as error:
        raise BadMessageError(_("{value!r} is no moment").format(value=str(value)[:40])) from error


def _numeric(text: str) -> bool:
    return text.strip().lstrip("-").replace(".", "", 1).isdecimal()
