"""The witness: a small file beside the journal's own that knows its last entry, so that a loss at the end is noticed.

It is written after the entries are on disk: in place and without a sync of its own at each touch, which keeps a touch
short, and with one at the start, at each sign of life and at the end. So

- after a kill it names the last touch, or the one before where the kill fell between both writes;
- after a power cut it may lag behind by what was touched since the last sign of life, of which it then cannot tell;
- it is never ahead of what was on disk: where it is, entries are missing.
"""

import json
import os
from hashlib import sha256
from pathlib import Path

from sqlalchemy import Connection, select

from bayapp.record.chain import NOTHING, Head
from bayapp.record.durable import sync
from bayapp.record.findings import EndMissing, Finding, JournalGone, OtherJournal, WitnessMissing, WitnessUnreadable
from bayapp.record.problems import CutStore, DamagedStore
from bayapp.record.rows import head_of
from bayapp.record.schema import JOURNAL
from bayapp.text.language import _

ENDING = "-witness"
LENGTH = 160
"""Bytes of the file, always the same: it is written over in place, within one sector of a disk."""

Testimony = Head | WitnessMissing | WitnessUnreadable


class Witness:
    """The witness of one SQLite file.

    Attributes:
        path: where it lies.
    """

    def __init__(self, file: Path) -> None:
        self.path = file.with_name(file.name + ENDING)

    def read(self) -> Testimony:
        """Return the last entry that it knows."""
        try:
            return _from_line(self.path.read_bytes())
        except FileNotFoundError:
            return WitnessMissing()
        except (OSError, ValueError, LookupError, TypeError):
            return WitnessUnreadable()

    def note(self, head: Head) -> None:
        """Know this as the last entry from now on, also after a kill.

        Raises:
            OSError: it cannot be written.
        """
        try:
            handle = os.open(self.path, os.O_WRONLY)
        except FileNotFoundError:
            self.settle(head)
            return
        try:
            os.pwrite(handle, _line_of(head), 0)
        finally:
            os.close(handle)

    def settle(self, head: Head) -> None:
        """Know this as the last entry from now on, also after a power cut.

        Raises:
            OSError: it cannot be written.
        """
        draft = self.path.with_name(self.path.name + ".new")
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        try:
            os.write(handle, _line_of(head))
            os.fsync(handle)
        finally:
            os.close(handle)
        draft.replace(self.path)
        sync(self.path.parent)


def contradiction(testimony: Testimony, connection: Connection) -> Finding | None:
    """Return what speaks against a journal of the current version by its witness, which was read before it."""
    if not isinstance(testimony, Head):
        return testimony if head_of(connection) != NOTHING else None
    last = head_of(connection)
    if testimony.seq > last.seq:
        return EndMissing(last.seq, testimony.seq)
    query = select(JOURNAL.c.checksum).where(JOURNAL.c.seq == testimony.seq)
    checksum = connection.execute(query).scalar_one_or_none()
    return OtherJournal(testimony.seq) if testimony.seq and checksum != testimony.checksum else None


def journal_gone(file: Path) -> JournalGone | None:
    """Return whether an SQLite file is missing or empty where its witness or its log still stands."""
    if file.exists() and file.stat().st_size:
        return None
    testimony = Witness(file).read()
    log = file.with_name(f"{file.name}-wal")
    if isinstance(testimony, Head) and testimony.seq:
        return JournalGone(testimony.seq)
    if isinstance(testimony, WitnessUnreadable) or (log.exists() and log.stat().st_size):
        return JournalGone(None)
    return None


def contradicted(finding: Finding, file: Path) -> DamagedStore:
    """Return the problem of a journal that its witness contradicts, and what a person can do."""
    kind = CutStore if isinstance(finding, EndMissing) else DamagedStore
    return kind(
        finding.words,
        str(file.parent),
        _(
            "Put the files back that were here, or restore the latest backup. "
            "To go on without what is missing, take the file {witness} away, and {log} if it is there."
        ).format(witness=Witness(file).path.name, log=f"{file.name}-wal"),
    )


def _line_of(head: Head) -> bytes:
    line = f'{{"seq": {head.seq}, "checksum": "{head.checksum}", "check": "{_check_of(head)}"}}'
    return f"{line:<{LENGTH - 1}}\n".encode("ascii")


def _from_line(line: bytes) -> Head:
    said = json.loads(line)
    head = Head(said["seq"], said["checksum"])
    if said["check"] != _check_of(head) or len(line) != LENGTH:
        raise ValueError("the witness is not as it was written")
    return head


def _check_of(head: Head) -> str:
    return sha256(f"{head.seq} {head.checksum}".encode()).hexdigest()[:16]
