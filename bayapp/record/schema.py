"""The journal's tables, and their migrations from older versions."""

from collections.abc import Callable, Mapping

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    insert,
    inspect,
    select,
    update,
)

from bayapp.record.problems import NewerStore, StoreProblem, damaged
from bayapp.text.language import _, ngettext

CURRENT = 2

METADATA = MetaData()
_Big = BigInteger().with_variant(Integer, "sqlite")  # SQLite's own row number is its fastest primary key

VERSION = Table("schema_version", METADATA, Column("version", Integer, nullable=False))
JOURNAL = Table(
    "journal",
    METADATA,
    Column("seq", _Big, primary_key=True, autoincrement=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("name", String(60), nullable=False, index=True),
    Column("job", String(200), index=True),
    Column("body", Text, nullable=False),
    Column("boot_id", String(80), nullable=False),
    Column("boot_ms", BigInteger, nullable=False),
    Column("wall_ms", BigInteger, nullable=False),
)
HEARTBEAT = Table(
    "heartbeat",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("boot_id", String(80), nullable=False),
    Column("boot_ms", BigInteger, nullable=False),
    Column("wall_ms", BigInteger, nullable=False),
)


def _add_heartbeat(connection: Connection) -> None:
    HEARTBEAT.create(connection)


MIGRATIONS: Mapping[int, Callable[[Connection], None]] = {1: _add_heartbeat}
"""From each older version, the step to the next."""


def prepare(connection: Connection, where: str) -> None:
    """Bring the tables to the current version, all of it or nothing; a new store gets them at once.

    Raises:
        StoreProblem: a newer bayapp wrote this store.
    """
    version = version_of(connection, where)
    if version is None:
        METADATA.create_all(connection, checkfirst=False)
        connection.execute(insert(VERSION).values(version=CURRENT))
        return
    refuse_newer(version, where)
    for older in range(version, CURRENT):
        MIGRATIONS[older](connection)
        connection.execute(update(VERSION).values(version=older + 1))


def version_of(connection: Connection, where: str) -> int | None:
    """Return the version of the tables, or None where there are none yet.

    Raises:
        DamagedStore: it stands there twice, or not at all.
    """
    if not inspect(connection).has_table(VERSION.name):
        return None
    versions = connection.execute(select(VERSION.c.version)).scalars().all()
    if len(versions) != 1:
        raise damaged(
            ngettext(
                "its version stands there {n} times instead of once",
                "its version stands there {n} times instead of once",
                len(versions),
            ).format(n=len(versions)),
            where,
        )
    version: int = versions[0]
    return version


def require_current(connection: Connection, where: str) -> None:
    """Refuse tables that a reader does not know.

    Raises:
        StoreProblem: they are newer, or older and not yet brought up to date by a writer.
    """
    version = version_of(connection, where)
    refuse_newer(version or 0, where)
    if version != CURRENT:
        raise StoreProblem(
            _("The journal was last written by an older bayapp."),
            where,
            _("Start the wall screen once on this store; it brings the journal up to date."),
        )


def refuse_newer(version: int, where: str) -> None:
    """Refuse tables of a version that this program does not know yet."""
    if version > CURRENT:
        raise NewerStore(
            _("A newer bayapp wrote this journal (version {version}, this one knows {known}).").format(
                version=version, known=CURRENT
            ),
            where,
            _("Install the newer bayapp again; nothing here was changed."),
        )
