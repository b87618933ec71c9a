"""Where a journal lives: a folder with an SQLite file, or any other database by its SQLAlchemy URL."""

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from sqlalchemy import URL, Connection, Engine, make_url
from sqlalchemy.exc import ArgumentError

from bayapp.record import on_postgresql, on_sqlite
from bayapp.record.findings import NotOurs
from bayapp.record.problems import StoreProblem
from bayapp.record.witness import Witness
from bayapp.text.language import _

BACKUPS = "backups"  # the folder in a store that its own backups lie in


class Lock(Protocol):
    """Held by the one writer of a store."""

    def release(self) -> None:
        """Let the next writer in."""


@dataclass(frozen=True, slots=True)
class Store:
    """An address of a journal, e.g. ``Path("/home/bay/store")`` or ``"postgresql+psycopg://bay@wall/bay"``."""

    url: URL

    @property
    def where(self) -> str:
        """The address as a person knows it, without a password."""
        return str(self.folder) if self.folder else self.url.render_as_string(hide_password=True)

    @property
    def folder(self) -> Path | None:
        """The folder, for a store that is one."""
        return on_sqlite.folder_of(self.url) if self.is_file else None

    @property
    def is_file(self) -> bool:
        """Whether the journal is an SQLite file."""
        return self.url.get_backend_name() == "sqlite"

    @property
    def file(self) -> Path:
        """The SQLite file."""
        return Path(self.url.database or on_sqlite.FILE_NAME).absolute()

    @property
    def witness(self) -> Witness | None:
        """What knows the last entry beside the journal; a database server keeps its own books."""
        return Witness(self.file) if self.is_file else None

    def lock_writer(self) -> Lock:
        """Lock the store for this one writer, or raise StoreInUse."""
        return on_sqlite.lock_writer(self.url) if self.is_file else on_postgresql.lock_writer(self.url)

    def make_engine(self, write: bool) -> Engine:
        """Return an engine for a writer or a reader."""
        return on_sqlite.make_engine(self.url, write) if self.is_file else on_postgresql.make_engine(self.url, write)

    def strangers(self, connection: Connection) -> list[str]:
        """Return what the database holds beside the journal's own that could change what is written or read."""
        return on_sqlite.strangers(connection) if self.is_file else on_postgresql.strangers(connection)

    def damage(self, connection: Connection) -> list[str]:
        """Return what the database itself finds wrong."""
        return on_sqlite.damage(connection) if self.is_file else on_postgresql.damage(connection)


def refuse_strangers(store: Store, connection: Connection) -> None:
    """Refuse a database in which something is not the journal's own.

    Raises:
        StoreProblem: names it.
    """
    names = store.strangers(connection)
    if names:
        raise StoreProblem(
            NotOurs(tuple(names)).words,
            store.where,
            _("Take it out of the database again, or restore the latest backup; bayapp only works on its own tables."),
        )


def locate(address: Path | str) -> Store:
    """Return the store at a folder or at an SQLAlchemy URL.

    Raises:
        StoreProblem: the URL can't be read, or names a database that bayapp does not know.
    """
    if "://" not in str(address):
        return Store(URL.create("sqlite", database=str(Path(address).absolute() / on_sqlite.FILE_NAME)))
    try:
        url = make_url(str(address))
    except ArgumentError as error:
        raise _unknown(str(address)) from error
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise _unknown(url.render_as_string(hide_password=True))
    return Store(url)


def _unknown(address: str) -> StoreProblem:
    return StoreProblem(
        _("This is no address of a store."),
        address,
        _("Name a folder, or a database as sqlite:///FILE or postgresql+psycopg://USER@HOST/DATABASE."),
    )
