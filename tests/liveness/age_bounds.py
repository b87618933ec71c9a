"""Sets of ages that a state may have: bounds on every age and on how far any two lie apart, in whole milliseconds.

They are the difference bound matrices of Dill, "Timing assumptions and verification of finite-state concurrent
systems" (1989), with the operations of Bengtsson and Yi, "Timed automata: semantics, algorithms and tools" (2004),
section 4. Time at the gate is whole milliseconds, so that every bound is inclusive and a set that is not empty holds
whole ages.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

ANY = 2**40
"""No bound: 34 years."""

Matrix = NDArray[np.int64]
Cuts = tuple[tuple[int, ...], ...]
"""For each age where a verdict changes, rising; see ``Ages.cuts``."""
Piece = tuple[int, ...]
"""Between which cuts each age lies: how many it has reached."""


@dataclass(frozen=True, eq=False)
class AgeBounds:
    """A set of ages, convex and not empty.

    Attributes:
        most: how much older the first may be than the second, as tight as can be; row and column 0 stand for age 0.
    """

    most: Matrix

    @property
    def least(self) -> tuple[int, ...]:
        """The ages of the set that are all as young as they can be."""
        return tuple(int(-bound) for bound in self.most[0, 1:])

    def later(self) -> "AgeBounds":
        """Return the ages after any time."""
        most = self.most.copy()
        most[1:, 0] = ANY
        return AgeBounds(most)

    def taken(self, sources: NDArray[np.intp]) -> "AgeBounds":
        """Return each age as the one at its place in ``sources``, which begin with 0; those at 0 begin anew."""
        return AgeBounds(self.most[np.ix_(sources, sources)])

    def capped(self, own_caps: Sequence[int]) -> "AgeBounds":
        """Return the set with all ages from a cap on taken for each other; each age has its own.

        No verdict tells two ages from a cap on apart, and none compares two ages, so that nothing is reached which
        would not be reached without (Behrmann, Bouyer, Larsen and Pelánek, "Lower and upper bounds in zone based
        abstractions of timed automata", TACAS 2004, the abstraction Extra+M; from memory).
        """
        caps = np.array((0, *own_caps), np.int64)
        beyond = -self.most[0] >= caps
        beyond[0] = False
        most = np.where((self.most >= caps[:, None]) | beyond[:, None] | beyond, ANY, self.most)
        most[0] = np.maximum(self.most[0], -caps)
        np.fill_diagonal(most, 0)
        return AgeBounds(_tight(most))

    def between(self, which: int, low: int, high: int) -> "AgeBounds | None":
        """Return the part in which the age at ``which``, from 1 on, is from ``low`` to ``high``; None where none is."""
        most = self.most
        if high < -most[0, which] or low > most[which, 0] or low > high:
            return None
        if high < most[which, 0]:
            most = np.minimum(most, most[:, which, None] + (high + most[0]))
        if low > -most[0, which]:
            most = np.minimum(most, (most[:, 0, None] - low) + most[which])
        return self if most is self.most else AgeBounds(np.where(most > ANY // 2, ANY, most))

    def pieces(self, cuts: Cuts) -> Iterator[tuple[Piece, "AgeBounds"]]:
        """Yield the parts between cuts that are not empty."""
        found: list[tuple[Piece, AgeBounds]] = [((), self)]
        for which, own in enumerate(cuts, start=1):
            edges = (0, *own, ANY + 1)
            found = [
                ((*piece, number), part)
                for piece, bounds in found
                for number, (low, beyond) in enumerate(pairwise(edges))
                if (part := bounds.between(which, low, beyond - 1)) is not None
            ]
        yield from found

    def meets(self, other: "AgeBounds") -> bool:
        """Whether some ages are in both."""
        both = _tight(np.minimum(self.most, other.most))
        return bool((np.diagonal(both) >= 0).all())

    def tight(self) -> "AgeBounds":
        """Return the same set with every bound as small as the others make it."""
        return AgeBounds(_tight(self.most))

    def within(self, others: Sequence["AgeBounds"]) -> bool:
        """Whether one of the others holds all of it."""
        return any(self.key == other.key or bool((self.most <= other.most).all()) for other in others)

    @cached_property
    def key(self) -> bytes:
        """The same for the same set only."""
        return self.most.tobytes()


def newborn(ages: int) -> AgeBounds:
    """Return the set of so many ages that are all 0."""
    return AgeBounds(np.zeros((ages + 1, ages + 1), np.int64))


def hull(sets: Sequence[AgeBounds]) -> AgeBounds:
    """Return the least set that holds all of these."""
    return AgeBounds(np.maximum.reduce([bounds.most for bounds in sets]))


def _tight(most: Matrix) -> Matrix:
    """Return the same set with every bound as small as the others make it (Floyd and Warshall)."""
    for via in range(len(most)):
        most = np.minimum(most, most[:, via, None] + most[via])
    return np.where(most > ANY // 2, ANY, most)
