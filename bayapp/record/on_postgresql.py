"""PostgreSQL's own: its lock for one writer."""

from sqlalchemy import URL, Connection, Engine, create_engine, func, select

from bayapp.record.problems import StoreInUse, store_problems

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


def damage(connection: Connection) -> list[str]:
    """Return nothing: the server checks its own pages."""
    return []
