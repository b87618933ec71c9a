"""One zone after another, idling through each zone's own waits: the baseline for interleaving."""

from collections.abc import Mapping

from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem, Task
from bayapp.planning.heuristic.list_scheduling import ListScheduler


def one_by_one(problem: Problem, zone_of: Mapping[str, str]) -> Plan:
    """Return the plan of people who stay at a zone until it must wait for other zones.

    A zone's own waits are idled away. Where the bay's rules make it wait for other zones (all glass coated, everything
    washed before the first coat), the next zone is begun. Status "unknown" if a window is missed this way.
    """
    return _ZoneAfterZone(with_implied(problem), zone_of).run()


class _ZoneAfterZone(ListScheduler):
    """Remembers at which zones people are: as many as there are hands, those begun last."""

    def __init__(self, problem: Problem, zone_of: Mapping[str, str]) -> None:
        super().__init__(problem)
        self._zone_of = zone_of
        self._at_zones: list[str] = []

    def rank(self, task: Task) -> tuple[int, ...]:
        """Sort the zones that people are at first, then by the order of the job."""
        return (self._zone_of[task.id] not in self._at_zones, self.order[task.id])

    def has_begun(self, task: Task) -> None:
        """Somebody goes to this zone; zones at which nobody need stay are left."""
        zone = self._zone_of[task.id]
        held = [z for z in self._at_zones if z != zone and self._holds(z)]
        self._at_zones = [*held, zone]

    def may_begin(self, task: Task) -> bool:
        """Let nobody begin another zone while the one that they are at only waits for time to pass."""
        zone = self._zone_of[task.id]
        return zone in self._at_zones or sum(self._holds(z) for z in self._at_zones) < self.hands

    def _holds(self, zone: str) -> bool:
        """Whether somebody stays at a zone: it is being worked, or its next step waits for its own last one only."""
        if any(self._zone_of.get(name) == zone for _, name, _ in self.at.running):
            return True
        left = next((t for t in self.at.left.values() if self._zone_of[t.id] == zone), None)
        if left is None:
            return False
        own = any(self._zone_of.get(lag.first) == zone and lag.min_s > 0 for lag in self.ties.before.get(left.id, ()))
        opens = self.at.opens(left)
        return own and opens is not None and opens > self.at.now
