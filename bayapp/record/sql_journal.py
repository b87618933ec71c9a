"""The journal in an SQL database."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from sqlalchemy import ColumnElement, Connection, Engine

from bayapp.clock import Stamp
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import Event, JobOpened, PhotoAdded, TimePutRight
from bayapp.job.state.put_right import moments_put_right, put_right
from bayapp.record import rows, sign_of_life
from bayapp.record.bodies import UPCASTS, Upcasts, no_collector
from bayapp.record.chain import NOTHING, Entry, Head
from bayapp.record.chained_rows import BrokenChain, UnreadableEntry, entries_where, events_of, verified
from bayapp.record.entry_statements import EntryStatements
from bayapp.record.findings import (
    FileDamaged,
    Finding,
    IndexRebuilt,
    SignOfLifeAltered,
    Upgraded,
    WitnessMissing,
    WitnessUnreadable,
)
from bayapp.record.journal import JournalEntry, PastCar
from bayapp.record.on_sqlite import READS, raw
from bayapp.record.open_files import OpenFiles
from bayapp.record.problems import AppendConflict, StoreLost, damaged, store_problems, unreadable
from bayapp.record.schema import CHAINED_SINCE, CURRENT, JOURNAL, prepare, require_current, version_of
from bayapp.record.store import BACKUPS, Lock, Store, locate, refuse_strangers
from bayapp.record.witness import Testimony, contradicted, contradiction, journal_gone
from bayapp.text.language import _


class SqlJournal:
    """A Journal on SQLite or PostgreSQL; build it with ``open_journal``.

    Attributes:
        store: where it lives.
        noticed: what was not as it should be when it was opened, and kept nobody from opening it.
    """

    def __init__(self, store: Store, engine: Engine, lock: Lock | None, upcasts: Upcasts = UPCASTS) -> None:
        self.store = store
        self._where = store.where
        self.engine = engine
        self._lock = lock
        self._upcasts = upcasts
        self._witness = store.witness
        self._files = OpenFiles(store.file) if store.is_file and lock else None
        self._statements = EntryStatements(engine, self._where)
        self._writer: Connection | None = None  # kept from write to write
        self._head = NOTHING
        self.noticed: tuple[Finding, ...] = ()

    def append(self, events: Sequence[Event], stamp: Stamp, after_seq: int | None = None) -> tuple[int, ...]:
        """Record events, all or none, and return their numbers; when this returns, they are on disk."""
        if not events:
            return ()
        try:
            return self._append(events, stamp, after_seq)
        except AppendConflict:
            with self.reading() as connection:
                refuse_strangers(self.store, connection)  # a trigger may be what was in the way
            raise

    def _append(self, events: Sequence[Event], stamp: Stamp, after_seq: int | None) -> tuple[int, ...]:
        head = self._head
        if after_seq is not None and after_seq != head.seq:
            raise AppendConflict(after_seq, head.seq, self._where)
        with self._writing() as connection:
            entries = rows.entries_of(events, stamp, head)
            self._statements.add(connection, entries, head)
            self._require_written(connection, head, entries)
        self._written(Head(entries[-1].seq, entries[-1].checksum))
        return tuple(entry.seq for entry in entries)

    def look(self) -> None:
        """Make sure that the store on disk is the one that was opened, and has what was recorded.

        Cheap enough to be asked every second.

        Raises:
            StoreLost, AppendConflict, DamagedStore: it is not; nothing can be recorded.
        """
        if self._lock is None:
            return
        self._require_files()
        with self.reading() as connection:
            self._require_head(connection)

    def read(self) -> list[Event]:
        """Return every event, oldest first."""
        with self.reading() as connection:
            return self._events(connection, rows.after(0))

    def read_open(self) -> list[Event]:
        """Return the events that the present state depends on, oldest first; see ``Journal.read_open``."""
        with self.reading() as connection:
            return self._events(connection, rows.needed_now(connection, self._upcasts))

    def read_job(self, job: JobId, alone: bool = False) -> list[Event]:
        """Return one job's events and, unless ``alone``, those that belong to no job, oldest first; see ``Journal``."""
        with self.reading() as connection:
            return self._events(connection, rows.of_job(job, alone, self._upcasts))

    def read_past(self, job: JobId) -> list[Event]:
        """Return the events of a job that left, and the readings of the air that its waits went by, oldest first."""
        with self.reading() as connection:
            condition = rows.of_past(connection, self._upcasts, job)
            return [] if condition is None else self._events(connection, condition)

    def moments_of(self, job: JobId) -> list[datetime]:
        """Return when each of one job's events happened, in the order of the journal, without reading the events."""
        with self.reading() as connection:
            found = self._entries(connection, JOURNAL.c.job == job)
            right = self._entries(connection, rows.putting_right(self._upcasts))
        seqs, events = [entry.seq for entry in found], events_of(right, self._upcasts)
        by = [
            (bisect_left(seqs, entry.seq), event)
            for entry, event in zip(right, events, strict=True)
            if isinstance(event, TimePutRight)
        ]
        return moments_put_right([rows.instant_of(entry.at_ms) for entry in found], by)

    def photos(self) -> list[PhotoAdded]:
        """Return every photo that was ever added to a car, also those that were taken away again."""
        with self.reading() as connection:
            found = self._events(connection, rows.of_photos(self._upcasts))
        return [event for event in found if isinstance(event, PhotoAdded)]

    def entries(self, after_seq: int = 0) -> list[JournalEntry]:
        """Return the entries after ``after_seq``, oldest first."""
        with self.reading() as connection:
            found = self._entries(connection, rows.after(after_seq))
            events = events_of(found, self._upcasts)
        return [JournalEntry(was.seq, event, rows.stamp_of(was)) for was, event in zip(found, events, strict=True)]

    def open_jobs(self) -> tuple[JobId, ...]:
        """Return the jobs that are not closed, in the order in which they came in."""
        with self.reading() as connection:
            return tuple(rows.open_jobs(connection, self._upcasts))

    def left_since(self, at: datetime) -> tuple[JobId, ...]:
        """Return the jobs that were closed at an instant or later, in the order in which they came in."""
        with self.reading() as connection:
            return tuple(rows.left_since(connection, self._upcasts, rows.ms_of(at)))

    def past_cars(self, first: int, count: int) -> tuple[PastCar, ...]:
        """Return so many of the cars that left, from a place on, the last to leave first."""
        with self.reading() as connection:
            stays = rows.past_stays(connection, self._upcasts)[first : first + count]
            came = self._events(connection, rows.coming_in([stay.seq for stay in stays]))
        jobs = {event.opened.id: event.opened for event in came if isinstance(event, JobOpened)}
        return tuple(PastCar(jobs[s.job], *map(rows.instant_of, (s.came, s.left or s.came))) for s in stays)

    def last_seq(self) -> int:
        """Return the number of the last entry, 0 for an empty journal."""
        with self.reading() as connection:
            return rows.last_seq(connection)

    def head(self) -> Head:
        """Return the last entry's number and checksum, which stand for all that was recorded."""
        with self.reading() as connection:
            return rows.head_of(connection)

    def last_stamp(self) -> tuple[datetime, Stamp] | None:
        """Return the instant and the stamp of the last entry."""
        with self.reading() as connection:
            found = self._entries(connection, JOURNAL.c.seq == rows.last_seq(connection))
        return (rows.instant_of(found[0].at_ms), rows.stamp_of(found[0])) if found else None

    def heartbeat(self, at: datetime, stamp: Stamp) -> None:
        """Record that the program runs, in the one row there is for it."""
        with self._writing() as connection:
            sign_of_life.leave(connection, at, stamp)
            head = rows.head_of(connection)
        if self._files:
            self._files.learn()
        if self._witness:
            with store_problems(self._where):
                self._witness.settle(head)

    def last_heartbeat(self) -> tuple[datetime, Stamp] | None:
        """Return the instant and the stamp of the last heartbeat."""
        with self.reading() as connection:
            return sign_of_life.last(connection)

    def machine_time(self) -> list[Event]:
        """Return what tells of the machine's time: its last starts, settings of its clock, jumps, oldest first."""
        with self.reading() as connection:
            return self._events(connection, rows.of_machine_time(connection, self._upcasts))

    def last_touch(self) -> datetime | None:
        """Return when the last entry was recorded that tells of more than the time and how the bay is set up."""
        with self.reading() as connection:
            at_ms = rows.last_touch(connection, self._upcasts)
        return None if at_ms is None else rows.instant_of(at_ms)

    def check_tables(self) -> None:
        """Bring the tables up to date, a backup first; a reader only makes sure that it can read them."""
        if self._lock:
            copy = self._back_up_older()
            self._begin_to_write(copy.name if copy else "")
        else:
            testimony = self._witness.read() if self._witness else None
            with self.reading() as connection:
                refuse_strangers(self.store, connection)
                require_current(connection, self._where)
                self._hear(testimony, connection)

    def _begin_to_write(self, copied_as: str) -> None:
        """Bring the tables up to date, and hear the witness before it learns of anything new."""
        testimony = self._witness.read() if self._witness else None
        with self._writing() as connection:
            refuse_strangers(self.store, connection)
            found = prepare(connection, self._where)
            missed = found < CHAINED_SINCE and isinstance(testimony, WitnessMissing)  # there was none yet
            self._hear(None if missed else testimony, connection)
            if sign_of_life.altered(connection):
                self.noticed += (SignOfLifeAltered(),)
            if found < CURRENT:
                self.noticed += (Upgraded(copied_as),)
            head = rows.head_of(connection)
            if self._witness and head != testimony:
                # Before the commit: it only adds to what is on disk already, and an upgrade that is cut off comes
                # to the same checksums again.
                self._witness.settle(head)
        self._head = head
        if self._files:
            self._files.learn()

    def _hear(self, testimony: Testimony | None, connection: Connection) -> None:
        """Refuse a journal that its witness contradicts, and check what came after the entry that it knows."""
        if testimony is None:
            return
        finding = contradiction(testimony, connection)
        if isinstance(finding, WitnessMissing | WitnessUnreadable):
            self.noticed = (finding,)
        elif finding:
            raise contradicted(finding, self.store.file)
        if isinstance(testimony, Head):
            self._entries(connection, rows.after(testimony.seq))

    def _require_head(self, connection: Connection) -> None:
        """Make sure that the last entry is the one that this writer knows."""
        head = rows.head_of(connection)
        if head != self._head:
            raise AppendConflict(self._head.seq, head.seq, self._where)

    def _require_written(self, connection: Connection, head: Head, entries: Sequence[Entry]) -> None:
        """Read back what was written, and the entry that it follows, before it counts as recorded."""
        found = self._statements.read_from(connection, head)
        followed = [found.pop(0)] if found and found[0].seq == head.seq else []
        if head != NOTHING and [entry.checksum for entry in followed] != [head.checksum]:
            raise AppendConflict(head.seq, None, self._where)
        if found != entries:
            refuse_strangers(self.store, connection)
            raise damaged(_("what was written could not be read again; nothing was recorded"), self._where)

    def _written(self, head: Head) -> None:
        """Know a new head; where the witness cannot be told, the next sign of life says so: the entries are on disk."""
        self._head = head
        if self._files:
            self._files.learn()
        if self._witness:
            with suppress(OSError):
                self._witness.note(head)

    def _require_files(self) -> None:
        """Make sure that the files are those that were opened; if another program wrote to them, that all is whole."""
        if self._files is None:
            return
        if self._files.written_by_others():
            self._recheck()
            self._files.learn()

    def _recheck(self) -> None:
        from bayapp.record.integrity import check  # noqa: PLC0415 (it reads by this module)

        address = self.store.url.render_as_string(hide_password=False)
        findings = check(address)
        if findings and all(isinstance(finding, FileDamaged) for finding in findings):
            self.rebuild_indexes()
            findings = check(address)
        if findings:
            with self.reading() as connection:
                refuse_strangers(self.store, connection)
            raise damaged(findings[0].words, self._where)

    def _back_up_older(self) -> Path | None:
        """Copy a journal of an older version before the first step that changes it; a server has its own backup."""
        with self.reading() as connection:
            version = version_of(connection, self._where)
        if version is not None and version < CURRENT and self.store.folder:
            from bayapp.record.backup import back_up  # noqa: PLC0415 (it checks the copy by this module)

            return back_up(self.store.url.render_as_string(hide_password=False), self.store.folder / BACKUPS)
        return None

    def save_open(self) -> Path:
        """Copy a journal whose file was deleted under this program from the open file into the store's own backups.

        Raises:
            StoreProblem: it is not open here, is not whole, or there is no place to write it to.
        """
        from bayapp.record.backup import save_open  # noqa: PLC0415 (it checks the copy by this module)

        if self._files is None or self._writer is None or self.store.folder is None:
            raise StoreLost(_("Nothing of the journal is open here."), self._where, _("Restore the latest backup."))
        self._files.require_disk()
        return save_open(raw(self._writer), self.store.folder, self._head)

    def rebuild_indexes(self) -> None:
        """Make the indexes anew from the entries, where one is damaged and they are not."""
        if self._files:
            self._files.require_same()
        with store_problems(self._where), self.engine.begin() as connection:
            for index in JOURNAL.indexes:
                index.drop(connection, checkfirst=True)
                index.create(connection)
        if self._files:
            self._files.learn()
        self.noticed = (IndexRebuilt(),)

    def close(self) -> None:
        """Let go of the store."""
        self._drop_writer()
        self.engine.dispose()
        if self._lock:
            self._lock.release()
            self._lock = None

    def _events(self, connection: Connection, condition: ColumnElement[bool]) -> list[Event]:
        with no_collector():
            return put_right(events_of(self._entries(connection, condition), self._upcasts))

    def _entries(self, connection: Connection, condition: ColumnElement[bool]) -> list[Entry]:
        """Return entries as they were written, or raise StoreProblem."""
        return verified(connection.execute(entries_where(condition).order_by(JOURNAL.c.seq)))

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Open a read transaction: several queries see the journal at one moment."""
        with self._problems(), self.engine.connect() as connection:
            yield connection.execution_options(**{READS: True})

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        """Open a write transaction: on disk at its end, or nothing of it."""
        if self._lock is None:
            raise PermissionError("this journal was opened for reading, or is closed")
        self._require_files()
        try:
            with self._problems():
                self._writer = self._writer or self.engine.connect()
                with self._writer.begin():
                    yield self._writer
        except BaseException:
            self._drop_writer()  # it may be what failed
            raise

    def _drop_writer(self) -> None:
        writer, self._writer = self._writer, None
        if writer:
            writer.close()

    @contextmanager
    def _problems(self) -> Iterator[None]:
        try:
            with store_problems(self._where):
                yield
        except BrokenChain as broken:
            raise damaged(_("entry {seq} is not as it was written").format(seq=broken.seq), self._where) from broken
        except UnreadableEntry as entry:
            raise unreadable(entry.seq, str(entry), entry.newer, self._where) from entry


def open_journal(address: Path | str, *, write: bool = True, upcasts: Upcasts = UPCASTS) -> SqlJournal:
    """Open the journal of a store (a folder, or an SQLAlchemy URL), created if there is none yet.

    ``write=False`` reads beside a running wall screen and changes nothing.

    Raises:
        StoreInUse: another program writes to this store.
        StoreProblem: the store can't be used; says what to do.
    """
    store = locate(address)
    lock = store.lock_writer() if write else None
    try:
        return _open(store, lock, upcasts)
    except BaseException:
        if lock:
            lock.release()
        raise


def _open(store: Store, lock: Lock | None, upcasts: Upcasts) -> SqlJournal:
    if store.is_file and (gone := journal_gone(store.file)):
        raise contradicted(gone, store.file)
    journal = SqlJournal(store, store.make_engine(write=lock is not None), lock, upcasts)
    try:
        journal.check_tables()
    except BaseException:
        journal.engine.dispose()
        raise
    return journal
