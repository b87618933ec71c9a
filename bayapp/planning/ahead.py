"""What is still to do on each zone of the bay, as it stands at an instant. Knows no person and no solver."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job.recipe import Recipe, Step, Wait
from bayapp.job.standing import next_places, standing
from bayapp.job.state import BayState, JobState, StepRun, ZoneState
from bayapp.job.waits import anchors_of, counts_from, turn_of, wait_of
from bayapp.job.words import JobId, StepId, ZoneId
from bayapp.planning.walk import round_tour

Key = tuple[JobId, ZoneId, StepId]


@dataclass(frozen=True, slots=True)
class Rung:
    """One step that is still to be done, or is under way.

    Attributes:
        run: the run under way; None for a step that has not begun.
        not_before: the zone is let go until then, because its window can no longer be kept.
        wait: what must be waited for, None for nothing but the step before.
        own_anchor: the step of the same zone that the wait counts from; None where it counts from other zones.
        anchors: zones and steps that a wait of a block or a set counts from.
        block: the zones of its work block.
    """

    job: JobId
    zone: ZoneId
    step: Step
    place: int
    run: StepRun | None = None
    not_before: datetime | None = None
    wait: Wait | None = None
    own_anchor: StepId | None = None
    anchors: tuple[tuple[ZoneId, StepId], ...] = ()

    block: tuple[ZoneId, ...] = ()

    @property
    def key(self) -> Key:
        """What tells it from every other."""
        return self.job, self.zone, StepId(self.step.id)


@dataclass(frozen=True, slots=True)
class Ladder:
    """What is left of one zone's ladder, in the order in which it is climbed; ``held``: nobody may go on."""

    job: JobState
    zone: ZoneId
    rungs: tuple[Rung, ...]
    held: bool = False

    @property
    def recipe(self) -> Recipe:
        """The zone's recipe."""
        return self.job.job.recipe_of(self.zone)


def ladders(
    state: BayState, at: datetime, let_go: Mapping[tuple[JobId, ZoneId], datetime] | None = None
) -> tuple[Ladder, ...]:
    """Return what is left to do on every zone that is not set aside, zones of a work block in an order of few walks.

    ``let_go``: zones whose running window is given up, and the moment from which they have fallen back.
    """
    found = []
    for job in state.open_jobs:
        for block in job.job.blocks:
            for zone in round_tour(job.job.vehicle, block.zones):
                if zone not in job.aside:
                    found.append(_ladder(job, zone, at, (let_go or {}).get((job.job.id, zone))))
    return tuple(found)


def _ladder(job: JobState, zone: ZoneId, at: datetime, let_go_at: datetime | None) -> Ladder:
    zone_state, recipe = job.zones[zone], job.job.recipe_of(zone)
    rungs: list[Rung] = []
    if zone_state.running:
        run = zone_state.running
        place = recipe.position(run.step)
        rungs.append(Rung(job.job.id, zone, recipe.step[place], place, run=run, block=job.job.block_of[zone].zones))
        now = replace(zone_state, rungs=(*zone_state.rungs, replace(run, finished_at=at)), running=None)
    else:
        stands = standing(job, zone, let_go_at or at)
        if stands.held:
            return Ladder(job, zone, (), held=True)
        now = replace(zone_state, rungs=stands.rungs)
    while places := next_places(recipe, now.rungs):
        rungs.append(_rung(job, zone, recipe, places[0], now, None if rungs else let_go_at))
        done = StepRun(StepId(recipe.step[places[0]].id), at, finished_at=at)
        now = replace(now, rungs=(*now.rungs, done))
    return Ladder(job, zone, tuple(rungs))


def _rung(job: JobState, zone: ZoneId, recipe: Recipe, place: int, now: ZoneState, not_before: datetime | None) -> Rung:
    turn = turn_of(recipe, place, now.rungs)
    wait = wait_of(recipe, turn, place)
    own: StepId | None = None
    others: tuple[tuple[ZoneId, StepId], ...] = ()
    if wait is not None:
        step = counts_from(recipe, wait, recipe.group_of(place).start, turn, now)
        if wait.of is None:
            own = step
        else:
            anchors = anchors_of(job, zone, wait, step, now)
            others = tuple((z, s) for z, steps in anchors for s in steps)
            wait = wait if others else None
    block = job.job.block_of[zone].zones
    return Rung(job.job.id, zone, recipe.step[place], place, None, not_before, wait, own, others, block)
