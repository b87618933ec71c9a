"""What is still to do on each zone of the bay, as it stands at an instant."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Recipe, Step, Wait
from bayapp.job.state.state import BayState, JobState, StepRun, ZoneState
from bayapp.job.waits.bans import left_to_do
from bayapp.job.waits.ladder_position import due_places, fall, ladder_position, rework_rung, stopped_at
from bayapp.job.waits.waits import Anchor, anchors_of, counts_from, turn_in_group, wait_of, waiting_place
from bayapp.planning.from_bay.air_of_day import Assumed, in_this_air
from bayapp.planning.from_bay.walk import round_tour

Key = tuple[JobId, ZoneId, StepId, int]
"""Job, zone, step, and how many times the step was due before on what is left of the ladder."""


def task_id(key: Key) -> str:
    """Return the name of a step in a problem."""
    job, zone, step, turn = key
    return f"{job}/{zone}/{step}" + (f"/{turn + 1}" if turn else "")


@dataclass(frozen=True, slots=True)
class CountedFrom:
    """What a wait counts from on one zone.

    ``ahead`` are the latest runs of it still to come before the wait on the same zone; none on other zones, of which
    ``left_out.py`` finds the run that counts.
    """

    anchor: Anchor
    ahead: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Rung:
    """One step that is still to be done, or is under way.

    Attributes:
        turn: how many times it was due before on what is left of this ladder.
        run: the run under way; None for a step that has not begun.
        not_before, lost: the zone falls back to this rung just before then, because these steps are given up.
        wait, anchors: the wait and what it counts from; None if only the step before must be done.
        written, assumed: the wait as the recipe has it, where ``wait`` is as the air of the day makes it, and what had
            to be taken for granted of the air.
        block: the zones of its work block.
        open_before, open_after: whether a coat lies open on the zone as it begins, and once it is done.
        dries: a coat that is open then needs only time.
    """

    job: JobId
    zone: ZoneId
    step: Step
    place: int
    turn: int = 0
    run: StepRun | None = None
    not_before: datetime | None = None
    lost: tuple[Key, ...] = ()
    wait: Wait | None = None
    written: Wait | None = None
    assumed: Assumed | None = None
    anchors: tuple[CountedFrom, ...] = ()
    block: tuple[ZoneId, ...] = ()
    open_before: bool = False
    open_after: bool = False
    dries: bool = False

    @property
    def key(self) -> Key:
        """What identifies this rung."""
        return self.job, self.zone, StepId(self.step.id), self.turn


@dataclass(frozen=True, slots=True)
class Ladder:
    """The rest of one zone's ladder, in the order in which it is climbed.

    Attributes:
        held: nobody may go on above it.
        forbidden: the steps above it that are not done for a mark, and those that would only ready for them.
    """

    job: JobState
    zone: ZoneId
    rungs: tuple[Rung, ...]
    held: bool = False
    forbidden: tuple[Key, ...] = ()

    @property
    def covered(self) -> bool:
        """Whether its coat is covered until the next step begins."""
        return self.job.zones[self.zone].covered is not None

    @property
    def recipe(self) -> Recipe:
        """The zone's recipe."""
        return self.job.job.recipe_of(self.zone)


def ladders(state: BayState, at: datetime, given_up: Mapping[Key, datetime] | None = None) -> tuple[Ladder, ...]:
    """Return what is left to do on every zone that is not set aside, zones of a work block in an order of few walks.

    On a car that was moved out to cure there is nothing but what is under way. ``given_up``: steps that will miss their
    latest moment, each with an instant at which it has passed.
    """
    found = []
    for job in state.open_jobs:
        for block in job.job.blocks:
            for zone in round_tour(job.job.vehicle, block.zones):
                if zone in job.aside or (job.curing and not job.zones[zone].running):
                    continue
                ladder = _Climb(job, zone, at, given_up or {}).ladder()
                found.append(replace(ladder, rungs=ladder.rungs[:1]) if job.curing else ladder)
    return tuple(found)


class _Climb:
    """One zone's way up, as if every step were done now; what is given up makes it fall."""

    def __init__(self, job: JobState, zone: ZoneId, at: datetime, given_up: Mapping[Key, datetime]) -> None:
        self._job, self._zone, self._at, self._given_up = job, zone, at, given_up
        self._recipe = job.job.recipe_of(zone)
        self._now = job.zones[zone]
        self._rungs: list[Rung] = []
        self._lost: list[Key] = []
        self._stood: list[tuple[StepRun, ...]] = []
        self._due: Counter[StepId] = Counter()
        self._last: dict[StepId, Key] = {}

    def ladder(self) -> Ladder:
        """Climb to the top, or as far as anybody may."""
        if self._now.running:
            self._add(self._recipe.position(self._now.running.step), self._now.running)
        else:
            stands = ladder_position(self._job, self._zone, self._at)
            while stands.held:
                if stopped_at(self._job, self._zone, stands, self._at):
                    return Ladder(self._job, self._zone, (), forbidden=self._rest(stands.next_places))
                if stands.rework is None:
                    return Ladder(self._job, self._zone, (), held=True)
                stands = stands.rework
            self._now = replace(self._now, rungs=stands.rungs)
            self._stood += stands.stood
        while places := due_places(self._recipe, self._now.rungs, self._stood):
            may = self._may(places)
            if not may:
                return Ladder(self._job, self._zone, tuple(self._rungs), forbidden=self._rest(places))
            if self._key(may[0]) not in self._given_up:
                self._add(may[0], None)
            elif not self._fall(places[0]):
                return Ladder(self._job, self._zone, tuple(self._rungs), held=True)
        return Ladder(self._job, self._zone, tuple(self._rungs))

    def _may(self, places: tuple[int, ...]) -> tuple[int, ...]:
        """Return those of the places that come next which no mark forbids, and that are worth doing."""
        if self._zone not in self._job.marks:
            return places
        left = left_to_do(self._job, self._zone, places, self._at)
        return tuple(place for place in places if place in left)

    def _rest(self, places: tuple[int, ...]) -> tuple[Key, ...]:
        """Return all that is left of the ladder from these places on."""
        after = self._recipe.group_of(places[0]).stop
        return tuple(self._key(place) for place in (*places, *range(after, len(self._recipe.step))))

    def _key(self, place: int) -> Key:
        step = StepId(self._recipe.step[place].id)
        return self._job.job.id, self._zone, step, self._due[step]

    def _fall(self, place: int) -> bool:
        """Step back to what the lapse costs; return whether there is such a rung."""
        self._lost.append(self._key(place))
        self._stood.append(self._now.rungs)
        self._due[StepId(self._recipe.step[place].id)] += 1
        turn = turn_in_group(self._recipe, place, self._now.rungs)
        back = self._recipe.falls_back_to(waiting_place(self._recipe, turn, place))
        fallen = fall(self._recipe, self._now, rework_rung(self._recipe, place) if back is None else back)
        stays = fallen.rungs == self._now.rungs
        self._now = fallen
        return not stays

    def _add(self, place: int, run: StepRun | None) -> None:
        key, step = self._key(place), StepId(self._recipe.step[place].id)
        written, anchors = (None, ()) if run else self._wait(place)
        written = written and written.binding
        wait, assumed = written, None
        if written is not None:
            wait, assumed = in_this_air(
                self._job, written, ((a.anchor.zone, s) for a in anchors for s in a.anchor.steps)
            )
        done = replace(run or StepRun(step, self._at), finished_at=self._at)
        after = (*self._now.rungs, done)
        self._rungs.append(
            Rung(
                job=self._job.job.id,
                zone=self._zone,
                step=self._recipe.step[place],
                place=place,
                turn=self._due[step],
                run=run,
                not_before=max((self._given_up[k] for k in self._lost), default=None),
                lost=tuple(self._lost),
                wait=wait,
                written=written,
                assumed=assumed,
                anchors=anchors,
                block=self._job.job.block_of[self._zone].zones,
                open_before=coat_is_open(self._recipe, self._now.rungs),
                open_after=coat_is_open(self._recipe, after),
                dries=not coat_is_open(self._recipe, after, drying=False),
            )
        )
        self._lost.clear()
        self._stood.clear()
        self._due[step] += 1
        self._last[step] = key
        self._now = ZoneState(self._now.runs, after)  # whoever begins a step counts every zone again

    def _wait(self, place: int) -> tuple[Wait | None, tuple[CountedFrom, ...]]:
        turn = turn_in_group(self._recipe, place, self._now.rungs)
        wait = wait_of(self._recipe, turn, place)
        if wait is None:
            return None, ()
        step = counts_from(self._recipe, wait, self._recipe.group_of(place).start, turn, self._now)
        if wait.of is None:
            return wait, (self._counted(Anchor(self._zone, (step,), 1)),)
        counted = tuple(map(self._counted, anchors_of(self._job, self._zone, wait, place, self._now)))
        return (wait, counted) if counted else (None, ())

    def _counted(self, anchor: Anchor) -> CountedFrom:
        own = anchor.steps if anchor.zone == self._zone else ()
        return CountedFrom(anchor, tuple(key for step in own if (key := self._last.get(step))))


def coat_is_open(recipe: Recipe, rungs: tuple[StepRun, ...], drying: bool = True) -> bool:
    """Whether dust or water would spoil a coat once these rungs are done; ``drying``: also one that dries by itself."""
    done = {recipe.position(run.step) for run in rungs}
    if not any(recipe.step[place].kind is StepKind.COAT for place in done):
        return False
    last = recipe.covering[-1]
    if max(done) < last or not done.issuperset(recipe.group_of(last)):
        return True
    return drying and recipe.dries_by_itself
