"""The sign of life: one row that says that the program ran, with a checksum of its own, as no entry stands for it."""

from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update

from bayapp.clock import Stamp
from bayapp.record.rows import instant_of, ms_of, stamp_of
from bayapp.record.schema import HEARTBEAT, beat_checksum


def leave(connection: Connection, at: datetime, stamp: Stamp) -> None:
    """Say that the program runs at an instant."""
    said = (ms_of(at), stamp.boot_id, stamp.boot_ms, stamp.wall_ms)
    beat = dict(zip(("at_ms", "boot_id", "boot_ms", "wall_ms"), said, strict=True))
    beat["checksum"] = beat_checksum(*said)
    if connection.execute(update(HEARTBEAT).values(beat)).rowcount == 0:
        connection.execute(insert(HEARTBEAT).values(id=1, **beat))


def last(connection: Connection) -> tuple[datetime, Stamp] | None:
    """Return the instant and the stamp of the last one that is as it was written; None where there is none."""
    found = [row for row in connection.execute(select(HEARTBEAT)) if _is_right(row)]
    latest = max(found, key=lambda row: row.at_ms, default=None)
    return None if latest is None else (instant_of(latest.at_ms), stamp_of(latest))


def altered(connection: Connection) -> bool:
    """Whether it is not as it was written."""
    rows = connection.execute(select(HEARTBEAT)).all()
    return len(rows) > 1 or not all(map(_is_right, rows))


def _is_right(row: Row[Any]) -> bool:
    return bool(row.checksum == beat_checksum(row.at_ms, row.boot_id, row.boot_ms, row.wall_ms))
