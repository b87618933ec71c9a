"""Cars that left within a day, read one after the other once there is time for it.

They are read one by one once the board stands, for the solvent vapour that they left; the air page reads what is still
missing, and says so where it cannot.
"""

from collections.abc import Collection
from datetime import datetime

from bayapp.job.gate.fold import fold
from bayapp.job.model.ids import JobId
from bayapp.job.state.state import JobState
from bayapp.job.vapour.vapour import LOOK_BACK
from bayapp.record.journal import Journal


class LeftCars:
    """The cars whose work is over and whose solvent may still be in the air; a start does not wait for them.

    Attributes:
        all_read: whether nothing is left to read; False until that is known.
    """

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._unread: list[JobId] | None = None

    @property
    def all_read(self) -> bool:
        """Whether every one of them has been read."""
        return self._unread == []

    def read_next(self, at: datetime, known: Collection[JobId]) -> JobState | None:
        """Return one more of those that left within the day before ``at``, the one that came last first, or None.

        The first call finds out which they are; those that are ``known`` then are passed over. It bears no readings
        of the air: its waits are over.

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
