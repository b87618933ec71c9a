"""SQLite's own: its file, its durability settings, its lock."""

import sqlite3
from pathlib import Path

import sqlalchemy.dialects.sqlite  # noqa: F401 (now rather than with the first engine: after Qt all that loads costs more)
from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import ConnectionPoolEntry

from bayapp.private_files import make_private_folder
from bayapp.record.problems import DamagedStore, StoreProblem, store_problems
from bayapp.record.schema import METADATA
from bayapp.record.witness import contradicted, journal_gone
from bayapp.record.writer_lock import DatabaseLock, WriterLock
from bayapp.text.language import _

FILE_NAME = "journal.sqlite3"
RESTORING = "journal.restoring"
READS = "bayapp_reads"

SAFE = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "fullfsync": 1, "busy_timeout": 2000}
"""Settings without which an accepted touch could be lost; 2 is FULL (https://www.sqlite.org/pragma.html)."""


def folder_of(url: URL) -> Path:
    """Return the folder in which the journal's file lies."""
    return Path(url.database or FILE_NAME).absolute().parent


class StoreLock:
    """The lock of a folder, and that of the database in it."""

    def __init__(self, folder: Path, file: Path) -> None:
        self._folder = WriterLock(folder)
        try:
            self._database = DatabaseLock(file)
        except BaseException:
            self._folder.release()
            raise

    def release(self) -> None:
        """Let the next writer in."""
        self._database.release()
        self._folder.release()


def lock_writer(url: URL) -> StoreLock:
    """Make the store's folder if need be, and lock it for this one writer.

    Raises:
        StoreInUse: another program holds it.
        DamagedStore: the journal that was there is gone.
        StoreProblem: the folder cannot be used.
    """
    folder = folder_of(url)
    with store_problems(str(folder)):
        make_private_folder(folder)
        _refuse_half_restored(folder, Path(url.database or FILE_NAME))
    file = Path(url.database or FILE_NAME).absolute()
    if gone := journal_gone(file):
        raise contradicted(gone, file)
    return StoreLock(folder, file)


def make_engine(url: URL, write: bool) -> Engine:
    """Return an engine whose connections have the durability settings and begin their transactions themselves."""
    where = str(folder_of(url))
    if not write and not Path(url.database or FILE_NAME).is_file():
        raise StoreProblem(
            _("There is no journal here yet."), where, _("Start the wall screen once, or name its folder with --store.")
        )
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def _settle(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
        # The library would begin transactions late and only for some statements; _begin does it instead.
        connection.isolation_level = None
        if write:
            make_safe(connection, where)
        else:
            only_read(connection)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        reads = connection.get_execution_options().get(READS)
        raw(connection).execute("BEGIN" if reads else "BEGIN IMMEDIATE")  # by SQLAlchemy it took a fifth of a write

    return engine


def make_safe(connection: DBAPIConnection | sqlite3.Connection, where: str) -> None:
    """Set the safe settings and read each one back.

    Raises:
        StoreProblem: SQLite or the disk refused one.
    """
    cursor = connection.cursor()
    for name, wanted in SAFE.items():
        cursor.execute(f"PRAGMA {name} = {wanted}")
        found = cursor.execute(f"PRAGMA {name}").fetchone()[0]
        if found != wanted:
            raise StoreProblem(
                _("This disk does not allow a safe journal ({name} is {found} instead of {wanted}).").format(
                    name=name, found=found, wanted=wanted
                ),
                where,
                _("Put the store on a disk inside this machine, not on a network share."),
            )
    cursor.close()


def only_read(connection: DBAPIConnection | sqlite3.Connection) -> None:
    """Let a reader wait briefly for a writer, and never change the file."""
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {SAFE['busy_timeout']}")
    cursor.execute("PRAGMA query_only = 1")
    cursor.close()


def damage(connection: Connection) -> list[str]:
    """Return what SQLite's own check finds wrong with the file."""
    try:
        rows = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    except DBAPIError as error:  # too damaged to be checked
        return [str(error.orig)]
    return [] if rows == ["ok"] else [str(row) for row in rows]


def strangers(connection: Connection) -> list[str]:
    """Return triggers, views, tables and indexes that are not the journal's; SQLite's own are left out."""
    ours = {("table", table.name) for table in METADATA.tables.values()}
    ours |= {("index", str(index.name)) for table in METADATA.tables.values() for index in table.indexes}
    found = connection.exec_driver_sql("SELECT type, name FROM sqlite_master")
    return [f"{kind} {name}" for kind, name in found if (kind, name) not in ours and not name.startswith("sqlite_")]


def raw(connection: Connection) -> sqlite3.Connection:
    """Return the driver's own connection."""
    own = connection.connection.driver_connection
    assert isinstance(own, sqlite3.Connection)
    return own


def read_whatever_stands(connection: Connection) -> None:
    """Let text that is no UTF-8 be read, too, so that the entry it stands in can be named."""
    raw(connection).text_factory = lambda content: content.decode("utf-8", "surrogateescape")


def _refuse_half_restored(folder: Path, file: Path) -> None:
    if (folder / RESTORING).exists() and not file.exists():
        raise DamagedStore(
            _("A restore was interrupted, and the journal is not in its place."),
            str(folder),
            _("Run `bayapp restore` again with the same backup; the old journal still lies in the folder."),
        )
