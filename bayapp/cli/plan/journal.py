"""What the journal adds up to, read beside a running wall screen."""

from dataclasses import replace
from pathlib import Path

from bayapp.job import BayState, fold
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import JobReopened, TimePutRight
from bayapp.job.state.state import JobState
from bayapp.record import StoreProblem, open_journal
from bayapp.record.journal import Journal
from bayapp.record.left_cars import LeftCars


class FollowedJournal:
    """A store read again and again: the present once, then only what is new."""

    def __init__(self, store: Path) -> None:
        self._store = store
        self._journal: Journal | None = None
        self._state, self._seq = BayState(), 0

    def state(self) -> BayState:
        """Return the state with all that the journal holds now.

        Raises:
            StoreProblem: the store cannot be read; the next call begins anew.
        """
        try:
            if self._journal is None:
                self._journal = open_journal(self._store, write=False)
                self._read_present(self._journal)
            new = self._journal.entries(self._seq)
        except StoreProblem:
            self.close()
            raise
        if any(isinstance(entry.event, JobReopened | TimePutRight) for entry in new):
            self._read_present(self._journal)
        elif new:
            self._state = fold((entry.event for entry in new), self._state)
            self._seq = new[-1].seq
        return self._state

    def _read_present(self, journal: Journal) -> None:
        """Read what the present needs and up to where that is; both must be of one moment."""
        seq = journal.last_seq()
        while True:
            events, left = journal.read_open(), _left_today(journal)
            reached = journal.last_seq()
            if reached == seq:
                break
            seq = reached
        present = fold(events)
        self._state, self._seq = replace(present, jobs={**left, **present.jobs}), seq

    def close(self) -> None:
        """Let go of the store."""
        if self._journal:
            self._journal.close()
        self._journal = None


def _left_today(journal: Journal) -> dict[JobId, JobState]:
    """Return the cars that left within a day: they tell how fast people work."""
    last, cars = journal.last_stamp(), LeftCars(journal)
    found: dict[JobId, JobState] = {}
    while last and (car := cars.read_next(last[0], found)):
        found = {car.job.id: car, **found}
    return found
