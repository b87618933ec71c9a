"""Adds entries to the table and reads them back, on every touch: compiled once, and given to the driver as they are.

SQLAlchemy's own way, from the statement to the row, took as long at each touch as the disk did.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from sqlalchemy import ClauseElement, Connection, Engine, bindparam, insert, select
from sqlalchemy.engine.interfaces import DBAPICursor
from sqlalchemy.sql.compiler import SQLCompiler

from bayapp.record.chain import Entry, Head
from bayapp.record.problems import AppendConflict, problem_of
from bayapp.record.schema import JOURNAL

_INSERT = insert(JOURNAL)
_FROM = select(*JOURNAL.c).where(JOURNAL.c.seq >= bindparam("first")).order_by(JOURNAL.c.seq)


class EntryStatements:
    """The statements in the words of one database.

    Attributes:
        where: the store as a person knows it.
    """

    def __init__(self, engine: Engine, where: str) -> None:
        self.where = where
        self._driver = engine.dialect.loaded_dbapi
        self._insert = _compiled(_INSERT, engine)
        self._from = _compiled(_FROM, engine)

    def add(self, connection: Connection, entries: Sequence[Entry], head: Head) -> None:
        """Add entries that follow the head.

        Raises:
            AppendConflict: another writer was there before; or a trigger refuses.
            StoreProblem: the database or the disk does.
        """
        with self._cursor(connection, head) as cursor:
            cursor.executemany(str(self._insert), [_values(self._insert, entry._asdict()) for entry in entries])

    def read_from(self, connection: Connection, head: Head) -> list[Entry]:
        """Return the entry of the head and those after it, as they stand in the table.

        Raises:
            StoreProblem: they cannot be read.
        """
        with self._cursor(connection, head) as cursor:
            cursor.execute(str(self._from), _values(self._from, {"first": head.seq}))
            return [Entry(*row) for row in cursor.fetchall()]

    @contextmanager
    def _cursor(self, connection: Connection, head: Head) -> Iterator[DBAPICursor]:
        cursor = connection.connection.cursor()
        try:
            yield cursor
        except self._driver.IntegrityError as error:
            raise AppendConflict(head.seq, None, self.where) from error
        except self._driver.Error as error:
            raise problem_of(error, self.where) from error
        finally:
            cursor.close()


def _compiled(statement: ClauseElement, engine: Engine) -> SQLCompiler:
    compiled = statement.compile(dialect=engine.dialect)
    assert isinstance(compiled, SQLCompiler)
    return compiled


def _values(statement: SQLCompiler, named: dict[str, Any]) -> Any:
    """Return the values of a statement's parameters, by their place or by their name, as its database asks for."""
    return [named[name] for name in statement.positiontup or ()] if statement.positional else named
