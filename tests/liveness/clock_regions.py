"""States of a bay, one by one, that every rule judges alike: the same situation, and ages in the same region.

Two ages are in the same region where no rule can tell them apart, now or later: the same whole number of units, the
same order of what is left over, and all from the last cut on are alike. That is the region construction of Alur and
Dill, "A theory of timed automata", Theoretical Computer Science 126 (1994), section 4.3.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from math import gcd

from bayapp.job import BayState
from tests.liveness.ages import MS, Age, Ages
from tests.liveness.situations import Seen, Situations

OLD = (-1, 0)

Key = tuple[object, ...]


@dataclass(frozen=True)
class Regions:
    """How the states of one job, which stands alone in the bay, are told apart; ``first`` is when the car came in."""

    first: BayState

    def key(self, state: BayState, at: datetime) -> Key:
        """Return what tells a state from those that every rule judges otherwise."""
        seen = self._known.seen(state)
        return seen.key, min(self._regions(seen, ages, at) for _, ages in seen.orders)

    def _regions(self, seen: Seen, ages: Sequence[Age], at: datetime) -> tuple[tuple[int, int], ...]:
        lasted = [seen.asked[age].lasted(at) for age in ages]
        young = [age if age < seen.asked[of].cuts[-1] * MS else None for age, of in zip(lasted, ages, strict=True)]
        rests = sorted({age % self.unit for age in young if age is not None} | {timedelta()})
        return tuple(OLD if age is None else (age // self.unit, rests.index(age % self.unit)) for age in young)

    @cached_property
    def unit(self) -> timedelta:
        """The greatest length that every wait is a multiple of."""
        job = self._known.ages.job
        lengths = [length for c in self._known.ages.counted for length in (c.earliest, c.latest) if length]
        finishes = [job.recipe_of(zone).finish for zone in job.block_of]
        lengths += [timedelta(hours=finish.keep_dry_hours) for finish in finishes]
        lengths += [timedelta(minutes=finish.dust_free_minutes) for finish in finishes]
        return gcd(*(length // MS for length in lengths)) * MS or timedelta(minutes=1)

    @cached_property
    def _known(self) -> Situations:
        (car,) = self.first.jobs.values()
        return Situations(self.first, Ages(car))
