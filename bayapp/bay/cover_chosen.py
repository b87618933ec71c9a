"""The cover that somebody chose as a way out while the coat was still being laid: offered as soon as it is done."""

from collections.abc import Sequence

from bayapp.bay.door import Change, Door
from bayapp.job import Cover
from bayapp.job.model.ids import Person
from bayapp.job.state.events import CoatCovered
from bayapp.planning.core.work_order import WayOut, WorkOrder


class CoverChosen:
    """Remembers the choice until the coat is covered, or the planner knows of no need for it any more.

    Only this wall knows of it: after a new start the planner finds it again.
    """

    def __init__(self, door: Door) -> None:
        self._door = door
        self._way: WayOut | None = None
        door.follow(self._follow)

    def choose(self, way: WayOut) -> None:
        """Take note of a way out that cannot be taken before a step is done."""
        self._way = way

    def take_order(self, order: WorkOrder | None) -> None:
        """Forget a cover that a plan which knows everything does not need."""
        if order and order.entry == self._door.state.last_at and not any(map(self._is_chosen, order.ways_out)):
            self._way = None

    def answers(self, order: WorkOrder) -> bool:
        """Whether all that can be done now about what is wrong with a plan is to end the coat."""
        return any(way.once and self._is_chosen(way) for way in order.ways_out)

    def to_come(self, by: Person | None) -> Cover | None:
        """Return the cover, to be laid as soon as the coat is done; None where none was chosen."""
        way = self._way
        job = self._door.state.jobs.get(way.job) if way else None
        return Cover(way.job, way.zones, by if by in job.job.crew else None) if way and job else None

    def _is_chosen(self, way: WayOut) -> bool:
        chosen = self._way
        return chosen is not None and (chosen.remedy, chosen.job, chosen.zones) == (way.remedy, way.job, way.zones)

    def _follow(self, changes: Sequence[Change]) -> None:
        if any(isinstance(change.event, CoatCovered) for change in changes):
            self._way = None
