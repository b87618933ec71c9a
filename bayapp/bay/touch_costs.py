"""What touches would shut out, remembered until something changes: it takes longer than a tap may."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from bayapp.job import BayState, Start
from bayapp.job.shut_out.shut_out import NOTHING, ShutOut, shut_out


@dataclass(frozen=True, slots=True)
class _Known:
    state: BayState
    minute: datetime
    cost: ShutOut


class TouchCosts:
    """Tells what is known of a touch at once, and works out afterwards what was asked for and is not known.

    What is known holds for a minute, or until the state changes; until it has been worked out anew the old is told.
    """

    def __init__(self, state: Callable[[], BayState]) -> None:
        self._state = state
        self._known: dict[Start, _Known] = {}
        self._owed: dict[Start, None] = {}

    @property
    def owing(self) -> bool:
        """Whether something was asked for that is still to be worked out."""
        return bool(self._owed)

    def known(self, start: Start, at: datetime) -> ShutOut:
        """Return what a touch would shut out as far as that is known; nothing where it was never worked out."""
        if not self._holds(start, at):
            self._owed[start] = None
        known = self._known.get(start)
        return known.cost if known else NOTHING

    def work_out(self, at: datetime) -> None:
        """Work out all that was asked for."""
        while self.work_out_one(at):
            pass

    def work_out_one(self, at: datetime) -> bool:
        """Work out one of the touches asked for; return whether any of them is left."""
        start = next(iter(self._owed), None)
        if start is not None:
            del self._owed[start]
            self._forget(at)
            self._known[start] = self._worked_out(start, at)
        return bool(self._owed)

    def _forget(self, at: datetime) -> None:
        """Forget what no longer holds and nobody asked for again."""
        kept = (start for start in self._known if start in self._owed or self._holds(start, at))
        self._known = {start: self._known[start] for start in kept}

    def certain(self, start: Start, at: datetime) -> ShutOut:
        """Return what a touch would shut out now, worked out if need be; nothing where nobody asked for it before."""
        if start not in self._known and start not in self._owed:
            return NOTHING
        if not self._holds(start, at):
            self._known[start] = self._worked_out(start, at)
        return self._known[start].cost

    def _worked_out(self, start: Start, at: datetime) -> _Known:
        state = self._state()
        return _Known(state, _minute(at), shut_out(state, start, at))

    def _holds(self, start: Start, at: datetime) -> bool:
        known = self._known.get(start)
        return known is not None and known.state is self._state() and known.minute == _minute(at)


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)
