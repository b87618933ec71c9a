"""PostgreSQL's own: its lock for one writer."""

from sqlalchemy import URL, Connection, Engine, create_engine, func, inspect, select, text

from bayapp.record.problems import StoreInUse, store_problems
from bayapp.record.schema import METADATA

LOCK_NUMBER = 0x62617961  # "baya": the advisory lock of one database's writer


class ServerLock:
    """Held by a connection of its own, so that the server releases it when this process dies."""

    def __init__(self, url: URL) -> None:
        where = url.render_as_string(hide_password=True)
        self._engine = create_engine(url)
        with store_problems(where):
            self._connection = self._engine.connect()
            got = self._connection.execute(select(func.pg_try_advisory_lock(LOCK_NUMBER))).scalar_one()
            self._connection.commit()
        if not got:
            self.release()
            raise StoreInUse(where)

    def release(self) -> None:
        """Let the next writer in."""
        self._connection.invalidate()
        self._connection.close()
        self._engine.dispose()


def lock_writer(url: URL) -> ServerLock:
    """Lock the database for this one writer."""
    return ServerLock(url)


def make_engine(url: URL, write: bool) -> Engine:
    """Return an engine; each transaction of a reader sees the journal at one moment."""
    return create_engine(url, isolation_level="READ COMMITTED" if write else "REPEATABLE READ")


def strangers(connection: Connection) -> list[str]:
    """Return triggers and rules on the journal's tables, and what stands in place of one; all else may be others'."""
    names = tuple(table.name for table in METADATA.tables.values())
    hooks = text(
        "SELECT 'trigger ' || tgname FROM pg_trigger "
        "WHERE NOT tgisinternal AND tgrelid = ANY(CAST(:ours AS regclass[])) "
        "UNION ALL SELECT 'rule ' || rulename FROM pg_rewrite WHERE ev_class = ANY(CAST(:ours AS regclass[])) "
        "UNION ALL SELECT 'no table: ' || relname FROM pg_class "
        "WHERE oid = ANY(CAST(:ours AS regclass[])) AND relkind <> 'r'"
    )
    there = [name for name in names if inspect(connection).has_table(name)]
    return list(connection.execute(hooks, {"ours": there}).scalars()) if there else []


def damage(connection: Connection) -> list[str]:
    """Return nothing: the server checks its own pages."""
    return []
