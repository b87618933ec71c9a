"""Working zone after zone, idling through each zone's own waits: what interleaving is measured against. No solver."""

from collections.abc import Mapping

from bayapp.planning.dispatch import Dispatcher, takes_hands
from bayapp.planning.implied import with_implied
from bayapp.planning.plan import Plan
from bayapp.planning.problem import Problem, Task


def one_by_one(problem: Problem, zone_of: Mapping[str, str]) -> Plan:
    """Return the plan of people who stay at a zone until it cannot go on for the sake of others.

    A zone's own waits are idled away. Where the bay's rules make it wait for other zones (all glass coated, everything
    washed before the first coat), the next zone is begun. Status "unknown" where a window is missed this way.
    """
    return _ZoneAfterZone(with_implied(problem), zone_of).run()


class _ZoneAfterZone(Dispatcher):
    def __init__(self, problem: Problem, zone_of: Mapping[str, str]) -> None:
        super().__init__(problem)
        self._zone_of = zone_of

    def rank(self, task: Task) -> tuple[int, ...]:
        """Zones that have been begun go first, then the order of the job."""
        return (self._zone_of[task.id] not in self._begun(), self.order[task.id])

    def may_begin(self, task: Task) -> bool:
        """Nobody begins another zone while the one that they are at only waits for time to pass."""
        begun = self._begun()
        if self._zone_of[task.id] in begun:
            return True
        waiting = sum(self._only_waits(zone) for zone in begun)
        return len([t for _, _, t in self.at.running if takes_hands(t)]) + waiting < self.hands

    def _begun(self) -> set[str]:
        return {self._zone_of[t] for t in self.at.starts} & {self._zone_of[t] for t in self.at.left}

    def _only_waits(self, zone: str) -> bool:
        """Whether the next step of a zone waits for time since one of the zone's own steps, and for nothing else."""
        left = next(t for t in self.at.left.values() if self._zone_of[t.id] == zone)
        opens = self.at.opens(left)
        own = any(self._zone_of.get(lag.first) == zone and lag.min_s > 0 for lag in self.ties.before.get(left.id, ()))
        return own and opens is not None and opens > self.at.now
