"""Reads entries from the table: each is checked against the chain before anything follows from it."""

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import ColumnElement, Select, select

from bayapp.job.state.events import Event
from bayapp.record.bodies import UnreadableBody, Upcasts, from_bodies
from bayapp.record.chain import Entry, first_broken
from bayapp.record.schema import JOURNAL

_earlier = JOURNAL.alias("earlier")
_WITH_THE_ONE_BEFORE = select(
    *JOURNAL.c,
    select(_earlier.c.checksum).where(_earlier.c.seq == JOURNAL.c.seq - 1).correlate(JOURNAL).scalar_subquery(),
)


class BrokenChain(Exception):  # noqa: N818 - says what was found, not what failed
    """An entry that is not as it was written."""

    def __init__(self, seq: int) -> None:
        super().__init__(f"entry {seq} is not as it was written")
        self.seq = seq


class UnreadableEntry(Exception):  # noqa: N818 - says what was found, not what failed
    """An entry that is as it was written and no event; ``newer``: a newer program wrote it."""

    def __init__(self, seq: int, why: str, newer: bool) -> None:
        super().__init__(why)
        self.seq = seq
        self.newer = newer


def entries_where(condition: ColumnElement[bool]) -> Select[Any]:
    """Return the query for entries with the checksum of the one before each, in no order."""
    return _WITH_THE_ONE_BEFORE.where(condition)


def verified(rows: Iterable[Sequence[Any]]) -> list[Entry]:
    """Return the entries of such a query.

    Raises:
        BrokenChain: one is not as it was written.
    """
    entries = [Entry(*row) for row in rows]
    broken = first_broken(entries)
    if broken is not None:
        raise BrokenChain(broken)
    return entries


def events_of(entries: Sequence[Entry], upcasts: Upcasts) -> list[Event]:
    """Return the events of entries.

    Raises:
        UnreadableEntry: one is no event.
    """
    try:
        return from_bodies([entry.body for entry in entries], upcasts)
    except UnreadableBody as error:
        raise UnreadableEntry(entries[error.place].seq, str(error), error.newer) from error
