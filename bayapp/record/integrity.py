"""Checks whether a journal still is what was written."""

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, select
from sqlalchemy.exc import DBAPIError

from bayapp.record import sign_of_life
from bayapp.record.bodies import UPCASTS, UnreadableBody, from_bodies, name_of
from bayapp.record.chain import FIRST, Entry, first_broken
from bayapp.record.findings import (
    Altered,
    ColumnsDisagree,
    EntriesMissing,
    EntriesUnreadable,
    FileDamaged,
    Finding,
    NoEvent,
    NotOurs,
    SignOfLifeAltered,
    Unusable,
)
from bayapp.record.on_sqlite import read_whatever_stands
from bayapp.record.problems import StoreProblem
from bayapp.record.rows import ms_of
from bayapp.record.schema import BEFORE_THE_CHAIN, CHAINED_SINCE, CURRENT, JOURNAL, refuse_newer, version_of
from bayapp.record.sql_journal import SqlJournal
from bayapp.record.store import Store, locate
from bayapp.record.witness import Testimony, contradiction, journal_gone
from bayapp.text.language import _


def check(store: Path | str, alone: bool = False) -> tuple[Finding, ...]:
    """Return what is wrong with a store's journal, the first of the entries first; empty when nothing is.

    Looks at the database's own pages, at the numbers of the entries, at every checksum and every body. Changes
    nothing, and takes stores of older versions, which have no checksums, as they are.

    ``alone``: it is a copy that travels without a witness of its last entry.
    """
    try:
        place = locate(store)
        if place.is_file and (gone := journal_gone(place.file)):
            return (gone,)
        journal = SqlJournal(place, place.make_engine(write=False), lock=None)
    except StoreProblem as problem:
        return (Unusable(problem.what),)
    found: list[Finding] = []
    try:
        testimony = None if alone or not place.witness else place.witness.read()  # before the journal goes on
        with journal.reading() as connection:
            found.extend(_findings(connection, place, testimony))
    except StoreProblem as problem:
        found.append(Unusable(problem.what))
    finally:
        journal.close()
    return tuple(found)


def _findings(connection: Connection, place: Store, testimony: Testimony | None) -> Iterator[Finding]:
    if place.is_file:
        read_whatever_stands(connection)
    version = version_of(connection, place.where)
    if version is None:
        yield Unusable(_("The file is no journal of bayapp."))
        return
    refuse_newer(version, place.where)
    strangers = place.strangers(connection)
    if strangers:
        yield NotOurs(tuple(strangers))
    damage = place.damage(connection)
    chained = version >= CHAINED_SINCE
    wrong = list(_wrong_entries(connection, chained))
    if version == CURRENT and sign_of_life.altered(connection):
        wrong.append(SignOfLifeAltered())
    if chained and testimony and (finding := contradiction(testimony, connection)):
        wrong.append(finding)
    yield from wrong
    yield from map(FileDamaged, damage)


def _wrong_entries(connection: Connection, chained: bool) -> Iterator[Finding]:
    """Yield what is wrong with entries, read by their numbers, so that a damaged index hides none."""
    expected, before = 1, FIRST
    query = select(*(JOURNAL.c if chained else BEFORE_THE_CHAIN)).order_by(JOURNAL.c.seq)
    try:
        for row in connection.execute(query):
            entry = Entry(*row)
            if entry.seq != expected:
                yield EntriesMissing(expected, entry.seq - 1)
            elif chained and first_broken([entry._replace(before=before)]):
                yield Altered(entry.seq)
            else:
                yield from _wrong_with(entry, chained)
            expected, before = entry.seq + 1, entry.checksum
    except DBAPIError:
        yield EntriesUnreadable(expected)


def _wrong_with(entry: Entry, chained: bool) -> Iterator[Finding]:
    try:
        (event,) = from_bodies([entry.body], UPCASTS)
    except UnreadableBody as error:
        yield NoEvent(entry.seq, str(error))
        return
    said, beside = (ms_of(event.at), event.job), (entry.at_ms, entry.job)
    if not chained and (said != beside or (entry.name not in UPCASTS and name_of(event) != entry.name)):
        yield ColumnsDisagree(entry.seq)
