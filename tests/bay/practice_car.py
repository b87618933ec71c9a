"""What the tests of the bay share: the practice car's zones, and what lies on the disk."""

import sqlite3
from contextlib import closing

from bayapp.job import Start
from bayapp.job.model.ids import StepId, ZoneId
from tests.pages.bays import ASH, CAR, HandBay

RIGHT_GLASS = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
WINDSCREEN = ZoneId("windscreen")
RIM = ZoneId("rim-rear-right")


def rows(hand: HandBay) -> int:
    """Count what another connection finds on the disk."""
    with closing(sqlite3.connect(f"file:{hand.store / 'journal.sqlite3'}?mode=ro", uri=True)) as other:
        return int(other.execute("SELECT count(*) FROM journal").fetchone()[0])


def level_rim() -> Start:
    return Start(CAR, (RIM,), StepId("level"), ASH)
