"""Fresh coats that are closed only after work which must not be done beside them: what no order can keep."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bayapp.job.model.ids import JobId, ZoneId
from bayapp.planning.core.problem import ForbiddenInterval
from bayapp.planning.core.transitive_precedence import all_successors

if TYPE_CHECKING:  # the wall loads this for its buttons, and searches for nothing
    from bayapp.planning.from_bay.from_job import Work
    from bayapp.planning.from_bay.remaining_operations import Rung


@dataclass(frozen=True, slots=True)
class Circle:
    """A coat that lies open, what closes it, and what must come before that but would spoil the coat."""

    closing: "Rung"
    barred: tuple["Rung", ...]

    @property
    def coated(self) -> tuple[JobId, ZoneId]:
        """The zone with the open coat."""
        return self.closing.job, self.closing.zone


def circles(work: "Work") -> tuple[Circle, ...]:
    """Return the open coats that can be closed only after work on other zones that they forbid, one for each zone.

    Two coats that wait for each other's closing are found as well: each forbids what the other waits for.
    """
    after = all_successors(work.problem)
    begun = [i for i in work.problem.forbidden if i.first is None and i.last is not None]
    found: dict[tuple[JobId, ZoneId], Circle] = {}
    for interval in begun:
        closing = work.rung_of[str(interval.last)]
        barred = tuple(work.rung_of[t] for t in sorted(_in_a_circle(interval, begun, after)))
        known = found.get((closing.job, closing.zone))
        if barred and known is None:
            found[closing.job, closing.zone] = Circle(closing, barred)
        elif barred and known:
            more = {r.key: r for r in (*known.barred, *barred)}
            found[closing.job, closing.zone] = Circle(min(known.closing, closing, key=_place), tuple(more.values()))
    return tuple(found.values())


def _place(rung: "Rung") -> int:
    return rung.place


def _in_a_circle(
    interval: ForbiddenInterval, begun: list[ForbiddenInterval], after: Mapping[str, set[str]]
) -> Iterator[str]:
    """Yield the tasks that must wait for the end of this interval, and that its end must wait for."""
    for task in interval.against:
        if any(other == interval for other in _waits_for(task, begun, after)):
            yield task


def _waits_for(task: str, begun: list[ForbiddenInterval], after: Mapping[str, set[str]]) -> Iterator[ForbiddenInterval]:
    """Yield the intervals that can only end after a task, be it that they forbid what another one waits for."""
    open_ends, seen = [task], set[str]()
    while open_ends:
        here = open_ends.pop()
        for interval in begun:
            if interval.id not in seen and (interval.last == here or interval.last in after[here]):
                seen.add(interval.id)
                yield interval
                open_ends += sorted(interval.against)
