"""A wall screen without a screen: works on a store for ever and says so after each thing done; made to be killed.

Run as ``python -m tests.record.kill_child STORE RUN KIND``. A line is printed only after what it tells of has
returned, as the screen paints only then: ``accepted RUN-N SEQ SEQ SEQ`` for a touch, which is one transaction of
three events, and ``kept FILE`` for a copy or a paper. Every kind records touches, and does something between them:

- ``touches``: nothing;
- ``backups``: copies the store into its folder ``copies``;
- ``restores``: copies it, and puts the copy in the place of the journal;
- ``papers``: writes the car's day record into its folder ``records``.
"""

import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC
from itertools import count
from pathlib import Path

from bayapp.clock import BayClock
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.events import JobOpened, StepStarted
from bayapp.record import Journal, open_journal
from bayapp.record.backup import back_up, restore

CAR = JobId("car")
ZONES = ("roof", "bonnet", "windscreen")
COPIES, RECORDS = "copies", "records"


class Child:
    """One life: the number of its touches goes on while the store is closed and opened again."""

    def __init__(self, store: Path, run: str) -> None:
        self.store, self._run = store, run
        self.clock = BayClock.at_wall()
        self._numbers = count(1)

    def touch(self, journal: Journal) -> None:
        """Record one touch and tell of it."""
        touch = f"{self._run}-{next(self._numbers)}"
        facts = {"at": self.clock.now(), "job": CAR, "step": StepId("wipe"), "touch": touch}
        seqs = journal.append([StepStarted(zone=ZoneId(zone), **facts) for zone in ZONES], self.clock.stamp())
        print("accepted", touch, *seqs, flush=True)
        journal.heartbeat(self.clock.now(), self.clock.stamp())


def touches(child: Child) -> None:
    """Record them one after the other."""
    with closing(open_journal(child.store)) as journal:
        print("open", flush=True)
        while True:
            child.touch(journal)


def backups(child: Child) -> None:
    """Copy the store after each touch."""
    with closing(open_journal(child.store)) as journal:
        print("open", flush=True)
        while True:
            child.touch(journal)
            print("kept", back_up(child.store, child.store / COPIES), flush=True)


def restores(child: Child) -> None:
    """Put a copy in the journal's place after each touch."""
    while True:
        with closing(open_journal(child.store)) as journal:
            print("open", flush=True)
            child.touch(journal)
        restore(back_up(child.store, child.store / COPIES), child.store)


def papers(child: Child) -> None:
    """Write the day record after each touch."""
    from bayapp.report.write import ReportRequest, write_report
    from tests.record.samples import job

    with closing(open_journal(child.store)) as journal:
        print("open", flush=True)
        if not journal.open_jobs():
            at = child.clock.now()
            journal.append([JobOpened(at=at, job=CAR, opened=job(CAR, ZONES))], child.clock.stamp())
        while True:
            child.touch(journal)
            at = child.clock.now()
            request = ReportRequest(CAR, at.date(), at, UTC)
            for path in write_report(journal.read(), request, child.store / RECORDS):
                print("kept", path, flush=True)


KINDS: dict[str, Callable[[Child], None]] = {
    "touches": touches,
    "backups": backups,
    "restores": restores,
    "papers": papers,
}

if __name__ == "__main__":
    KINDS[sys.argv[3]](Child(Path(sys.argv[1]), sys.argv[2]))
