"""Checks whether a journal still is what was written."""

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, select

from bayapp.record.bodies import UPCASTS, UnreadableBody, from_bodies, name_of
from bayapp.record.problems import StoreProblem
from bayapp.record.rows import ms_of
from bayapp.record.schema import JOURNAL, refuse_newer, version_of
from bayapp.record.sql_journal import SqlJournal
from bayapp.record.store import Store, locate
from bayapp.text.language import _, ngettext

AT_ONCE = 5_000


def check(store: Path | str) -> tuple[str, ...]:
    """Return what is wrong with a store's journal, in plain words; empty when nothing is.

    Looks at the database's own pages, at the numbers of the entries, and at every body. Changes nothing, and
    takes stores of older versions as they are.
    """
    try:
        place = locate(store)
        journal = SqlJournal(place, place.make_engine(write=False), lock=None)
    except StoreProblem as problem:
        return (problem.what,)
    try:
        with journal.reading() as connection:
            return tuple(_findings(connection, place))
    except StoreProblem as problem:
        return (problem.what,)
    finally:
        journal.close()


def _findings(connection: Connection, place: Store) -> Iterator[str]:
    version = version_of(connection, place.where)
    if version is None:
        yield _("The file is no journal of bayapp.")
        return
    refuse_newer(version, place.where)
    damage = place.damage(connection)
    if damage:
        yield from (_("The file is damaged: {detail}").format(detail=detail) for detail in damage)
        return
    yield from _wrong_entries(connection)


def _wrong_entries(connection: Connection) -> Iterator[str]:
    expected = 1
    while True:
        found = connection.execute(
            select(JOURNAL).where(JOURNAL.c.seq >= expected).order_by(JOURNAL.c.seq).limit(AT_ONCE)
        ).all()
        if not found:
            return
        for row in found:
            if row.seq != expected:
                yield _hole(expected, row.seq - 1)
            yield from _wrong_with(row.seq, row.body, (row.at_ms, row.name, row.job))
            expected = row.seq + 1


def _hole(first: int, last: int) -> str:
    number = last - first + 1
    return ngettext("Entry {first} is missing.", "Entries {first} to {last} are missing.", number).format(
        first=first, last=last
    )


def _wrong_with(seq: int, body: str, columns: tuple[int, str, str | None]) -> Iterator[str]:
    try:
        (event,) = from_bodies([body], UPCASTS)
    except UnreadableBody as error:
        yield _("Entry {seq} is no event: {why}.").format(seq=seq, why=error)
        return
    at_ms, name, job = columns
    if (ms_of(event.at), event.job) != (at_ms, job) or (name not in UPCASTS and name_of(event) != name):
        yield _("Entry {seq}: its body and the columns beside it disagree.").format(seq=seq)
