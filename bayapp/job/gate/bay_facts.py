"""What holds across the whole bay at an instant: fresh coats, dry zones, dust, water, hands and tools.

Dust and water of other zones cannot reach a coat that is covered. Levelled, a last coat stays fresh until it is dry to
touch, as its recipe says; one that nothing is done to and of which no recipe says that, as long as it must be kept dry.
No dust and no water meanwhile, and no coat is laid while dust flies.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from bayapp.job.gate.fold import fold
from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import JobId, PlaceId, StepKind, ZoneId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.model.recipe import Step
from bayapp.job.state.events import AirRead, Event
from bayapp.job.state.state import BayState, JobState, StepRun
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.job.waits.waits import ended


@dataclass(frozen=True, slots=True)
class Running:
    """A step under way somewhere in the bay."""

    job: JobState
    zone: ZoneId
    run: StepRun
    step: Step


def fresh_coat(state: JobState, zone: ZoneId, at: datetime) -> bool:
    """Whether a fresh coat is open on the zone: dust or water would spoil it."""
    return state.zones[zone].covered is None and lies_fresh(state, zone, at)


def lies_fresh(state: JobState, zone: ZoneId, at: datetime) -> bool:
    """Whether a fresh coat lies on the zone, covered or not.

    It does from the first stroke of the first coat until the last coat, levelled or buffed, is dry to touch, or its
    latest moment has passed: what is too hard to level is not spoilt by dust any more.
    """
    free = dust_free_at(state, zone, at)
    return free is None or at < free


def dust_free_at(state: JobState, zone: ZoneId, at: datetime) -> datetime | None:
    """Return from when dust does the zone no harm, ``at`` where no coat lies on it; None while it is worked on.

    A last coat that nothing is done to and of which the recipe says no more is left to dry by itself: it needs all the
    time in which it must be kept dry.
    """
    zone_state, recipe = state.zones[zone], state.job.recipe_of(zone)
    running = zone_state.running
    if running and recipe.named(running.step).kind is StepKind.COAT:
        return None
    rungs = zone_state.rungs
    if rungs and not running:
        stands = ladder_position(state, zone, at)
        if stands.held:
            return at
        rungs = stands.rungs
    done = {recipe.position(run.step): run for run in rungs}
    if not any(recipe.step[place].kind is StepKind.COAT for place in done):
        return at
    last = recipe.group_of(recipe.covering[-1])
    if max(done) < recipe.covering[-1] or not done.keys() >= set(last):
        return None
    if recipe.dries_by_itself:
        cure = cure_of(state, zone)
        return (cure.dry_until or at) if cure else None
    levelled = max(ended(done[place]) for place in last)
    return levelled + timedelta(minutes=recipe.finish.dust_free_minutes)


class BayFacts:
    """Facts over all open jobs at one instant, each worked out once and only when asked for.

    Attributes:
        state, at: what is judged, and when, to the millisecond.
        was_here: whether a car of this id has been in the bay before, for the state forgets those that left.
    """

    def __init__(self, state: BayState, at: datetime, was_here: Callable[[JobId], bool] | None = None) -> None:
        self.state = state
        self.at = to_millisecond(at)
        self.was_here = was_here or (lambda job: False)
        self._air: dict[PlaceId | None, AirRead | None] = {}

    def after(self, events: Iterable[Event]) -> "BayFacts":
        """Return the facts at the same instant after these events."""
        return BayFacts(fold(events, self.state), self.at, self.was_here)

    def air_around(self, job: JobState) -> AirRead | None:
        """Return the last reading of the air where a car stands."""
        if job.place not in self._air:
            self._air[job.place] = self.state.air_at(job.place)
        return self._air[job.place]

    @cached_property
    def stock(self) -> Stock:
        """The shelf."""
        return Stock(self.state, self.at)

    @cached_property
    def running(self) -> tuple[Running, ...]:
        """Every step under way."""
        return tuple(
            Running(job, zone, z.running, job.job.recipe_of(zone).named(z.running.step))
            for job in self.state.open_jobs
            for zone, z in job.zones.items()
            if z.running
        )

    @cached_property
    def fresh(self) -> tuple[tuple[JobId, ZoneId], ...]:
        """Every zone with a fresh coat."""
        return tuple(
            (job.job.id, zone) for job in self.state.open_jobs for zone in job.zones if fresh_coat(job, zone, self.at)
        )

    @cached_property
    def dry(self) -> tuple[tuple[JobId, ZoneId, datetime], ...]:
        """Every zone inside its keep-dry time that is not covered, with the end of it."""
        cures = (
            (job.job.id, zone, cure_of(job, zone))
            for job in self.state.open_jobs
            for zone, state in job.zones.items()
            if state.covered is None
        )
        return tuple((j, z, c.dry_until) for j, z, c in cures if c and c.dry_until and self.at < c.dry_until)
