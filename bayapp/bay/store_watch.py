"""The store, watched: whether what is touched can be recorded, and whether all that was recorded is still there."""

from collections.abc import Sequence
from pathlib import Path

from bayapp.record import StoreLost, StoreProblem
from bayapp.record.findings import Finding, Upgraded
from bayapp.record.journal import Journal


class StoreWatch:
    """Asks every moment whether the store is still the one that was opened.

    Attributes:
        trouble: why nothing can be recorded just now; None while all is well.
        found: what a look over the whole journal found wrong, or its opening.
    """

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self.trouble: StoreProblem | None = None
        self._noticed = journal.noticed
        self.found = _to_look_at(self._noticed)

    def look(self) -> bool:
        """Look at the store; return whether there is something new to be said of it, or no longer."""
        before = self.trouble
        try:
            self._journal.look()
            self.trouble = None
        except StoreProblem as trouble:
            self.trouble = trouble
        mended, self._noticed = self._journal.noticed != self._noticed, self._journal.noticed
        if mended:
            self.found = _to_look_at(self._noticed)
        return mended or str(before) != str(self.trouble)

    @property
    def may_write_back(self) -> bool:
        """Whether the file of the journal is gone from its folder, and nothing lies in its place."""
        return isinstance(self.trouble, StoreLost) and self.trouble.gone

    def save_open(self) -> Path:
        """Copy the journal from the file that is still open, where it is gone from its folder; return the copy.

        Raises:
            StoreProblem: that cannot be done.
        """
        return self._journal.save_open()

    def take_found(self, found: Sequence[Finding]) -> None:
        """Take note of what a look over the whole journal found."""
        self.found = tuple(found)

    def rebuild_indexes(self) -> None:
        """Make the indexes anew from the entries.

        Raises:
            StoreProblem: the file is damaged elsewhere, too.
        """
        self._journal.rebuild_indexes()


def upgraded(noticed: Sequence[Finding]) -> str:
    """Return that the store was of an older version, in words to be said once; empty where it was not."""
    return next((finding.words for finding in noticed if isinstance(finding, Upgraded)), "")


def _to_look_at(noticed: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(finding for finding in noticed if not isinstance(finding, Upgraded))
