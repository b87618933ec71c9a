"""The journal's tables, and their migrations from older versions."""

import json
from collections.abc import Callable, Mapping
from hashlib import sha256

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    bindparam,
    insert,
    inspect,
    select,
    text,
    update,
)

from bayapp.record.chain import FIRST, Entry, canonical, checksum_of
from bayapp.record.problems import NewerStore, StoreProblem, damaged
from bayapp.text.language import _, ngettext

CURRENT = 4
CHAINED_SINCE = 3
AT_ONCE = 5_000

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
    Column("checksum", String(64), nullable=False, server_default=""),  # the default is never a right one
)
BEFORE_THE_CHAIN = tuple(column for column in JOURNAL.c if column.name != "checksum")
"""The columns of an entry of version 1 or 2."""
HEARTBEAT = Table(
    "heartbeat",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("boot_id", String(80), nullable=False),
    Column("boot_ms", BigInteger, nullable=False),
    Column("wall_ms", BigInteger, nullable=False),
    Column("checksum", String(64), nullable=False, server_default=""),
)


def beat_checksum(at_ms: int, boot_id: str, boot_ms: int, wall_ms: int) -> str:
    """Return the checksum of a sign of life."""
    return sha256(json.dumps([at_ms, boot_id, boot_ms, wall_ms]).encode()).hexdigest()


def _add_heartbeat(connection: Connection, where: str) -> None:
    HEARTBEAT.create(connection)


def _chain_entries(connection: Connection, where: str) -> None:
    """Give every entry its checksum, and its body the canonical form that the checksum is of."""
    connection.execute(text("ALTER TABLE journal ADD COLUMN checksum VARCHAR(64) DEFAULT '' NOT NULL"))
    change = (
        update(JOURNAL)
        .where(JOURNAL.c.seq == bindparam("of"))
        .values(body=bindparam("as_body"), checksum=bindparam("as_checksum"))
    )
    last, before = 0, FIRST
    query = select(*BEFORE_THE_CHAIN).order_by(JOURNAL.c.seq).limit(AT_ONCE)
    while found := connection.execute(query.where(JOURNAL.c.seq > last)).all():
        changes = []
        for row in found:
            if row.seq != last + 1:
                raise damaged(_("entry {seq} is missing").format(seq=last + 1), where)
            entry = Entry(*row)._replace(body=_canonical_body(row.seq, row.body, where))
            last, before = entry.seq, checksum_of(entry, before)
            changes.append({"of": last, "as_body": entry.body, "as_checksum": before})
        connection.execute(change, changes)


def _check_heartbeat(connection: Connection, where: str) -> None:
    """Give the sign of life a checksum; a store of version 1 has got its table with one just now."""
    if "checksum" not in [column["name"] for column in inspect(connection).get_columns(HEARTBEAT.name)]:
        connection.execute(text("ALTER TABLE heartbeat ADD COLUMN checksum VARCHAR(64) DEFAULT '' NOT NULL"))
    for row in connection.execute(select(HEARTBEAT)).all():
        checksum = beat_checksum(row.at_ms, row.boot_id, row.boot_ms, row.wall_ms)
        connection.execute(update(HEARTBEAT).where(HEARTBEAT.c.id == row.id).values(checksum=checksum))


def _canonical_body(seq: int, body: str, where: str) -> str:
    try:
        return canonical(body)
    except ValueError as error:
        raise damaged(f"entry {seq} is no event ({error})", where) from error


MIGRATIONS: Mapping[int, Callable[[Connection, str], None]] = {
    1: _add_heartbeat,
    2: _chain_entries,
    3: _check_heartbeat,
}
"""From each older version, the step to the next."""


def prepare(connection: Connection, where: str) -> int:
    """Bring the tables to the current version, all of it or nothing; a new store gets them at once.

    Returns the version that was found; of a new store, the current one.

    Raises:
        StoreProblem: a newer bayapp wrote this store.
    """
    version = version_of(connection, where)
    if version is None:
        METADATA.create_all(connection, checkfirst=False)
        connection.execute(insert(VERSION).values(version=CURRENT))
        return CURRENT
    refuse_newer(version, where)
    for older in range(version, CURRENT):
        MIGRATIONS[older](connection, where)
        connection.execute(update(VERSION).values(version=older + 1))
    return version


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
