"""How much work a search is given, and what ends it sooner."""

from collections.abc import Callable
from dataclasses import dataclass, replace


def never() -> bool:
    """Never stop the search."""
    return False


@dataclass(frozen=True, slots=True)
class Effort:
    """The limits of a search: work, so that the same problem gets the same plan, and time on a slow machine.

    Attributes:
        seconds: how long it is meant to take. It is held to the work that a usual machine does in less than that, so
            that the machine decides nothing unless it is so slow that the time runs out first.
        workers: how many threads search; from eight on, all of CP-SAT's searches run until the time is over, and the
            plan depends on the machine.
        stopped: called now and then; once it returns True, the best plan so far is returned.
        patience: how many times as long as ``seconds`` a slow machine may take for the same work.
    """

    seconds: float = 5.0
    workers: int = 2
    stopped: Callable[[], bool] = never
    patience: float = 1.0

    @property
    def most_s(self) -> float:
        """How many seconds it may take at most."""
        return self.seconds * self.patience

    def share(self, part: float) -> "Effort":
        """Return a share of this effort, between 0 and 1."""
        return replace(self, seconds=self.seconds * part)


USUAL = Effort()
