"""Reads the cars that left within a day, for the solvent vapour that they left in the air.

They are read one by one once the board stands, so that a start does not wait for them; the air page reads what is still
missing, and says so if it cannot.
"""

from collections.abc import Collection
from datetime import datetime

from bayapp.job.gate.fold import fold
from bayapp.job.model.ids import JobId
from bayapp.job.state.state import JobState
from bayapp.job.vapour.vapour import LOOK_BACK
from bayapp.record.journal import Journal


class LeftCars:
    """The cars whose work is over and whose solvent may still be in the air."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._unread: list[JobId] | None = None

    @property
    def all_read(self) -> bool:
        """Whether every one of them has been read; False until it is known which they are."""
        return self._unread == []

    def read_next(self, at: datetime, known: Collection[JobId]) -> JobState | None:
        """Return one more of those that left within the day before ``at``, the one that came last first, or None.

        The first call finds out which they are, and skips the ``known`` ones. The state has no readings of the air:
        its waits are over.

        Raises:
            StoreProblem: it cannot be read; the next call tries again.
        """
        if self._unread is None:
            self._unread = [job for job in self._journal.left_since(at - LOOK_BACK) if job not in known]
        if not self._unread:
            return None
        job = self._unread[-1]
        found = fold(self._journal.read_job(job, alone=True)).jobs[job]
        self._unread.pop()
        return found
