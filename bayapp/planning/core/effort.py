"""How much a search is to do, and what ends it before that."""

from collections.abc import Callable
from dataclasses import dataclass, replace


def never() -> bool:
    """Nobody stops the search."""
    return False


@dataclass(frozen=True, slots=True)
class Effort:
    """What a search is held to: work, so that the same problem has the same plan, and time where a machine is slow.

    Attributes:
        seconds: how long it is meant to take; a usual machine does the work that this stands for in less.
        workers: how many threads search.
        stopped: asked now and then; once it is true, the best plan so far is returned.
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
        """Return a part of it, between 0 and 1."""
        return replace(self, seconds=self.seconds * part)
