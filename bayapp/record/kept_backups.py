"""The backups in a folder: which there are, which of them are a store's own, and the newest good one."""

import re
import sqlite3
from collections.abc import Iterable
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bayapp.record.backup import verify
from bayapp.record.chain import Head
from bayapp.record.problems import StoreProblem
from bayapp.record.store import locate
from bayapp.record.witness import Witness

NAME = re.compile(r"bayapp-journal-(?P<moment>\d{8}T\d{6}Z|empty)-(?P<count>\d+)\.sqlite3")
MOMENT = "%Y%m%dT%H%M%SZ"


@dataclass(frozen=True, slots=True)
class KeptBackup:
    """A backup as its name tells of it.

    Attributes:
        last_at: the instant of its last entry; None for that of an empty journal.
        count: how many entries it holds.
    """

    file: Path
    last_at: datetime | None
    count: int


def backups_in(folder: Path) -> list[KeptBackup]:
    """Return the backups in a folder, the newest first; none where it cannot be read."""
    found = list[KeptBackup]()
    with suppress(OSError):
        for file in folder.iterdir():
            if named := NAME.fullmatch(file.name):
                found.append(KeptBackup(file, _instant(named["moment"]), int(named["count"])))
    return sorted(found, key=_newest, reverse=True)


def newest_good(store: Path, folders: Iterable[Path]) -> KeptBackup | None:
    """Return the newest backup of a store that can be opened and replayed by this program, or None.

    Where the store can still tell how it began, backups of other stores that lie in the same folders are passed over.
    """
    beginning = beginning_of(locate(store).file)
    every = sorted((one for folder in folders for one in backups_in(folder)), key=_newest, reverse=True)
    for backup in every:
        if backup.count and beginning and beginning_of(backup.file) not in (None, beginning):
            continue
        with suppress(StoreProblem):
            verify(backup.file)
            return backup
    return None


def drop_older(store: Path, folder: Path, keep: int) -> list[Path]:
    """Delete all but the newest ``keep`` backups of a store from a folder; return what was deleted.

    Backups of other stores stay, and so does everything that is no backup.
    """
    beginning = beginning_of(locate(store).file)
    own = [one for one in backups_in(folder) if not one.count or beginning_of(one.file) == beginning]
    for one in own[keep:]:
        one.file.unlink(missing_ok=True)
    return [one.file for one in own[keep:]]


def beginning_of(file: Path) -> tuple[object, ...] | None:
    """Return what tells a journal from every other, its first entry; None where it has none or cannot be read."""
    with suppress(sqlite3.Error, OSError), closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as journal:
        found: tuple[object, ...] | None = journal.execute(
            "SELECT at_ms, body, boot_id, wall_ms FROM journal WHERE seq = 1"
        ).fetchone()
        return found
    return None


def entries_in(store: Path) -> int | None:
    """Return how many entries were recorded in a store, as far as it or its witness can still tell; else None."""
    file = locate(store).file
    testimony = Witness(file).read()
    known = [testimony.seq] if isinstance(testimony, Head) else []
    with suppress(sqlite3.Error, OSError), closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as journal:
        known.append(journal.execute("SELECT max(seq) FROM journal").fetchone()[0] or 0)
    return max(known, default=None)


def _newest(one: KeptBackup) -> tuple[datetime, int]:
    return one.last_at or datetime.min.replace(tzinfo=UTC), one.count


def _instant(moment: str) -> datetime | None:
    return None if moment == "empty" else datetime.strptime(moment, MOMENT).replace(tzinfo=UTC)
