"""Mends a journal whose entries are all as they were written, in a file that is damaged around them."""

from pathlib import Path

from sqlalchemy import Connection, insert, select

from bayapp.record.backup import restore
from bayapp.record.findings import FileDamaged
from bayapp.record.integrity import check
from bayapp.record.schema import CURRENT, HEARTBEAT, JOURNAL, METADATA, VERSION, version_of
from bayapp.record.sql_journal import SqlJournal
from bayapp.record.store import Store, locate

AT_ONCE = 5_000
DRAFT = ".rebuilt.sqlite3"


def mend(store: Path | str) -> Path | None:
    """Build the file of a store anew from its entries and put it in its place; return where the damaged one is kept.

    Nobody may have the store open. None: it is not damaged, or not only around its entries; nothing was changed then.

    Raises:
        StoreProblem: the new file could not be written or put in place.
    """
    place = locate(store)
    findings = check(store)
    if not place.is_file or not findings or not all(isinstance(finding, FileDamaged) for finding in findings):
        return None
    draft = place.file.with_name(DRAFT)
    draft.unlink(missing_ok=True)
    try:
        return restore(draft, store) if _rebuild(place, draft) else None
    finally:
        for ending in ("", "-wal", "-shm"):
            draft.with_name(draft.name + ending).unlink(missing_ok=True)


def _rebuild(place: Store, draft: Path) -> bool:
    """Write all that a journal holds into a new file, read by the numbers of its entries alone, without an index."""
    damaged = SqlJournal(place, place.make_engine(write=False), lock=None)
    new = locate(f"sqlite:///{draft}").make_engine(write=True)
    try:
        with damaged.reading() as source:
            if version_of(source, place.where) != CURRENT:
                return False
            with new.begin() as target:
                METADATA.create_all(target, checkfirst=False)
                target.execute(insert(VERSION).values(version=CURRENT))
                _copy(source, target)
        return True
    finally:
        new.dispose()
        damaged.close()


def _copy(source: Connection, target: Connection) -> None:
    last = 0
    query = select(*JOURNAL.c).order_by(JOURNAL.c.seq).limit(AT_ONCE)
    while found := source.execute(query.where(JOURNAL.c.seq > last)).mappings().all():
        target.execute(insert(JOURNAL), [dict(row) for row in found])
        last = found[-1]["seq"]
    for beat in source.execute(select(HEARTBEAT)).mappings():
        target.execute(insert(HEARTBEAT), dict(beat))
