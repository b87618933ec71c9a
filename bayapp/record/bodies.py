"""Serialises events to JSON and back; older versions are brought up to the current one."""

import gc
import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, get_args

from pydantic import TypeAdapter, ValidationError

from bayapp.job.state.events import EVENT, Event, EventBase
from bayapp.record.chain import canonical
from bayapp.text.language import _

Body = dict[str, Any]
Upcasts = Mapping[str, Callable[[Body], Body]]

UPCASTS: Upcasts = {}
"""From each retired event name (``"step-started/1"``), the small step to the next version of its body."""

_NAME = re.compile(r"[a-z]+(-[a-z]+)*/[0-9]+")
_EVENTS: TypeAdapter[list[Event]] = TypeAdapter(list[Event])


class UnreadableBody(Exception):  # noqa: N818 - says what was found, not what failed
    """A body that is no current event.

    Attributes:
        place: its place among those given, from 0.
        newer: its name has the form of an event's, but this program knows none of that name or version.
    """

    def __init__(self, place: int, why: str, newer: bool = False) -> None:
        super().__init__(why)
        self.place, self.newer = place, newer


def name_of(event: EventBase) -> str:
    """Return the event's fixed name and version, e.g. ``step-started/1``."""
    return str(type(event).model_fields["event"].default)


def names_of(kinds: Sequence[type[EventBase]], upcasts: Upcasts) -> list[str]:
    """Return the current names of these events, and the retired names that are upcast to them."""
    stems = {str(kind.model_fields["event"].default).partition("/")[0] for kind in kinds}
    known = [str(kind.model_fields["event"].default) for kind in _kinds()]
    return [name for name in [*known, *upcasts] if name.partition("/")[0] in stems]


def to_body(event: EventBase) -> str:
    """Return the event as JSON, in the canonical form that its checksum is of."""
    return canonical(event.model_dump_json())


def from_bodies(bodies: Sequence[str], upcasts: Upcasts = UPCASTS) -> list[Event]:
    """Return the events that these bodies hold.

    One JSON array is parsed at once with the garbage collector off, because that was the fastest in
    tests/bench/test_bench_disk.py.

    Raises:
        UnreadableBody: one of them is no event.
    """
    if upcasts:
        bodies = [upcast(body, upcasts) for body in bodies]
    try:
        with no_collector():
            events = _EVENTS.validate_json(f"[{','.join(bodies)}]")
    except ValidationError:
        return _one_by_one(bodies)
    return events if len(events) == len(bodies) else _one_by_one(bodies)


def upcast(body: str, upcasts: Upcasts) -> str:
    """Return the body brought up to today's version, step by step."""
    content: Body = json.loads(body)
    if content.get("event") not in upcasts:
        return body
    while (step := upcasts.get(content["event"])) is not None:
        content = step(content)
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))


def _one_by_one(bodies: Sequence[str]) -> list[Event]:
    """Parse again, slowly, to learn which body is at fault."""
    events: list[Event] = []
    for place, body in enumerate(bodies):
        try:
            events.append(EVENT.validate_json(body))
        except ValidationError as error:
            raise _unreadable(place, body, error) from error
    return events


def _unreadable(place: int, body: str, error: ValidationError) -> UnreadableBody:
    if error.errors()[0]["type"] == "union_tag_invalid":
        name = str(json.loads(body).get("event"))
        if _NAME.fullmatch(name):
            return UnreadableBody(place, _("its kind {name} is not known to this bayapp").format(name=name), newer=True)
    return UnreadableBody(place, str(error.errors()[0]["msg"]))


def _kinds() -> tuple[type[EventBase], ...]:
    kinds: tuple[type[EventBase], ...] = get_args(get_args(Event)[0])
    return kinds


@contextmanager
def no_collector() -> Iterator[None]:
    """Switch the garbage collector off while many long-lived objects are made."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
