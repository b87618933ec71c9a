"""How soon each remaining step could begin if there were hands for everything: waits, dust and water alone decide.

What is under way counts as done once it has lasted as long as its recipe says; what is left of a fresh coat is done as
soon as it may be. Of steps that wait for each other in a circle none can ever begin.
"""

from collections.abc import Collection, Iterable, Iterator
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf

from bayapp.job.gate.bay_facts import BayFacts, Running, fresh_coat
from bayapp.job.gate.fold import fold
from bayapp.job.model.ids import JobId, SetName, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Recipe, Step, Wait
from bayapp.job.state.events import StepFinished
from bayapp.job.state.state import BayState, JobState
from bayapp.job.waits.bans import left_to_do, out_of_reach
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position
from bayapp.job.waits.waits import Anchor, Window, anchors_of, counts_from, wait_of

Place = tuple[JobId, ZoneId]
"""A zone of a car in the bay."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A step that is left on a zone; ``number`` of those that may swap with it come before it."""

    place: int
    number: int
    step: Step

    @property
    def id(self) -> StepId:
        """The step's name on the ladder."""
        return StepId(self.step.id)


class EarliestStarts:
    """The soonest moment of each step that is left, in seconds from ``at``; infinite where it can never begin.

    Attributes:
        at: the present instant.
        state: the state once everything under way has ended.
        fresh, dry: the zones that keep dust, or water, from the others.
    """

    def __init__(self, state: BayState, at: datetime) -> None:
        now = BayFacts(state, at)
        self._begin_anew(state, now)
        ended = {(one.job.job.id, one.zone) for one in now.running}
        self.fresh: tuple[Place, ...] = tuple(dict.fromkeys((*now.fresh, *self._fresh(ended))))
        self.dry: tuple[Place, ...] = tuple((job, zone) for job, zone, _ in BayFacts(self.state, at).dry)
        self._turns: dict[Place, tuple[Turn, ...]] = {}

    def begun(self, state: BayState, zones: Collection[Place], fallen: Collection[Place] = ()) -> "EarliestStarts":
        """Return the same once a step has been begun on these zones, as ``state`` has it.

        ``fallen``: zones that have gone back on their ladders by that.
        """
        then = copy(self)
        now = BayFacts(state, self.at)
        then._begin_anew(state, now)
        own = {(job, zone) for job, zone in zones if fresh_coat(state.jobs[job], zone, now.at)}
        then.fresh = tuple(dict.fromkeys((*self.fresh, *own, *then._fresh(zones))))
        then.dry = tuple(dict.fromkeys((*self.dry, *(z for z in zones if then._kept_dry(z)))))
        others = (zone for zone in self._turns if zone not in zones and zone not in fallen)
        then._turns = {zone: self._turns[zone] for zone in others}
        return then

    def _begin_anew(self, state: BayState, now: BayFacts) -> None:
        self.at = now.at
        self.state = fold(_ends(now), state)
        self._dust = {(one.job.job.id, one.zone): one.run.step for one in now.running if one.step.makes_dust}
        self._ladders: dict[Place, LadderPosition] = {}
        self._begin: dict[tuple[Place, int], float] = {}
        self._asked: set[tuple[Place, int]] = set()

    def _fresh(self, zones: Iterable[Place]) -> Iterator[Place]:
        return (zone for zone in zones if fresh_coat(self._job(zone), zone[1], self.at))

    def _kept_dry(self, zone: Place) -> bool:
        cure = cure_of(self._job(zone), zone[1])
        return cure is not None and cure.dry_until is not None and cure.dry_until > self.at

    def turns(self, zone: Place) -> tuple[Turn, ...]:
        """Return what is left on a zone, in the order in which it comes."""
        found = self._turns.get(zone)
        if found is None:
            found = self._turns[zone] = tuple(self._left(zone))
        return found

    def _left(self, zone: Place) -> Iterator[Turn]:
        """Yield the turns of a zone up to what a mark forbids."""
        job, ladder = self._job(zone), self._ladder(zone)
        turns = _turns(self._recipe(zone), ladder)
        if zone[1] not in job.marks:
            return turns
        may = left_to_do(job, zone[1], ladder.next_places, self.at)
        return (turn for turn in turns if turn.place in may)

    def begins(self, zone: Place, number: int) -> float:
        """Return the soonest moment of one of the turns of a zone."""
        key = (zone, number)
        if key not in self._begin:
            if key in self._asked:  # it waits for itself
                return inf
            self._asked.add(key)
            before = self._ends(zone, number - 1) if number else self._free(zone)
            self._begin[key] = max(before, self._waited(zone, number), self._barred(zone, self.turns(zone)[number]))
        return self._begin[key]

    def bars(self, zones: Iterable[Place]) -> bool:
        """Whether any of these zones keeps dust, water or coats from others."""
        return any(zone in self._dust or zone in self.fresh or zone in self.dry for zone in zones)

    def barriers(self, zone: Place, turn: Turn, of: Iterable[Place] | None = None) -> dict[Place, float]:
        """Return the zones that dust or water of a step would harm, or whose dust would harm it, and until when.

        Of all zones, unless ``of`` says which.
        """
        found: dict[Place, float] = {}
        others = dict.fromkeys((*self.fresh, *self.dry, *self._dust) if of is None else of)
        for other in others:
            if not self.state.share_air(zone[0], other[0]):
                continue
            if turn.step.kind is StepKind.COAT and other in self._dust and other != zone:
                found[other] = self._done(other, self._dust[other])
            if not (turn.step.makes_dust or turn.step.makes_wet) or self._together(other, zone, turn):
                continue
            if turn.step.makes_dust and other in self.fresh:
                found[other] = self.dust_free(other)
            if turn.step.makes_wet and self._reaches(zone, other) and (other in self.fresh or other in self.dry):
                found[other] = max(found.get(other, 0.0), self.water_free(other))
            elif turn.step.makes_wet and other in self.fresh:
                found[other] = max(found.get(other, 0.0), self.dust_free(other))
        return found

    def _reaches(self, wet: Place, dry: Place) -> bool:
        """Whether water reaches what must only be kept dry: on the same car, or where somebody said so."""
        return wet[0] == dry[0] or self.state.splash_answer(wet[0], *dry) is False

    def _barred(self, zone: Place, turn: Turn) -> float:
        """Return until when dust or water keeps a step of a zone from beginning; 0 where nothing does."""
        return max(self.barriers(zone, turn).values(), default=0.0)

    def frees(self, zone: Place) -> StepId | None:
        """Return the step after which a zone bars nothing more: its dust is laid, or its coat not fresh; else None."""
        if zone in self._dust:
            return self._dust[zone]
        covering = self._last_covering(zone)
        done = covering is not None and all(turn.id != covering.id for turn in self.turns(zone))
        return None if covering is None or done or covering.kind is StepKind.COAT else StepId(covering.id)

    def dust_free(self, zone: Place) -> float:
        """Return from when dust does a fresh coat no harm."""
        covering, recipe = self._last_covering(zone), self._recipe(zone)
        if covering is None or recipe.dries_by_itself:
            return self._cured(zone)
        return self._done(zone, StepId(covering.id)) + recipe.finish.dust_free_minutes * 60

    def water_free(self, zone: Place) -> float:
        """Return from when water does no harm: once the zone is cured.

        The gate lets water in between the last buff and what comes after it, but no plan counts on all zones of a set
        standing there together. Where the zone can never be cured, that is the one way left.
        """
        cured, left, covering = self._cured(zone), self.turns(zone), self._last_covering(zone)
        if cured < inf or not left or covering is None or self._recipe(zone).dries_by_itself:
            return cured
        return cured if left[-1].id == covering.id else self.dust_free(zone)

    def set_of(self, zone: Place, number: int) -> SetName | None:
        """Return the set that a turn of a zone waits for."""
        wait, _ = self._counted(zone, number)
        return SetName(wait.of) if wait and wait.of not in (None, "block") else None

    def waits_for(self, zone: Place, number: int) -> tuple[ZoneId, ...]:
        """Return the zones of the same car that a turn of a zone must wait for, whose own step can never begin."""
        wait, counted = self._counted(zone, number)
        if wait is None or wait.of is None:
            return ()
        return tuple(anchor.zone for anchor in counted if self._reached(zone, wait, anchor) == inf)

    def seconds(self, moment: datetime) -> float:
        """Return how long it is from the present instant to a moment."""
        return (moment - self.at).total_seconds()

    def _ladder(self, zone: Place) -> LadderPosition:
        found = self._ladders.get(zone)
        if found is None:
            found = self._ladders[zone] = ladder_position(self._job(zone), zone[1], self.at)
        return found

    def _job(self, zone: Place) -> JobState:
        return self.state.jobs[zone[0]]

    def _recipe(self, zone: Place) -> Recipe:
        return self._job(zone).job.recipe_of(zone[1])

    def _free(self, zone: Place) -> float:
        """Return when what is under way on a zone has ended; 0 where nothing is."""
        ended = [self.seconds(run.finished_at) for run in self._job(zone).zones[zone[1]].rungs[-1:] if run.finished_at]
        return max([0.0, *ended])

    def _ends(self, zone: Place, number: int) -> float:
        return self.begins(zone, number) + self.turns(zone)[number].step.minutes * 60

    def _done(self, zone: Place, step: StepId) -> float:
        """Return when a zone will have done a step and whatever may swap with it; what stands on its ladder is done."""
        recipe, turns = self._recipe(zone), self.turns(zone)
        group = recipe.group_of(recipe.position(step))
        left = [number for number, turn in enumerate(turns) if turn.place in group]
        if left:
            return self._ends(zone, left[-1])
        run = self._job(zone).zones[zone[1]].last_finished(step)
        return self.seconds(run.finished_at) if run and run.finished_at else inf

    def _waited(self, zone: Place, number: int) -> float:
        """Return when the wait of a turn is over."""
        if number == 0:
            window = self._ladder(zone).window
            if isinstance(window, Window):
                return self.seconds(window.opens_at) if window.opens_at else 0.0
        wait, counted = self._counted(zone, number)
        if wait is None:
            return 0.0
        if wait.of is None and wait.after is None:
            since = self._ends(zone, number - 1) if number else 0.0
        else:
            since = max((self._reached(zone, wait, anchor) for anchor in counted), default=0.0)
        return since + wait.earliest.total_seconds()

    def _reached(self, own: Place, wait: Wait, anchor: Anchor) -> float:
        """Return when a zone will have done what a wait counts from; of steps that may swap as many as are needed.

        Where there is a latest moment a first run of another zone counts, though it has to be done again.
        """
        other = (own[0], anchor.zone)
        if other != own and self._fell_below(other, anchor):
            return 0.0
        if other != own and wait.latest is not None:
            first = self._job(other).zones[anchor.zone].first_finished
            ended = sorted(run.finished_at for step in anchor.steps if (run := first(step)) and run.finished_at)
            if len(ended) >= anchor.needed:
                return self.seconds(ended[anchor.needed - 1])
        if anchor.needed == len(anchor.steps):
            return max(self._done(other, step) for step in anchor.steps)
        left = [number for number, turn in enumerate(self.turns(other)) if turn.id in anchor.steps]
        over = len(anchor.steps) - len(left)
        return 0.0 if over >= anchor.needed else self._ends(other, left[anchor.needed - over - 1])

    def _fell_below(self, zone: Place, anchor: Anchor) -> bool:
        """Whether a mark keeps a zone from what is counted and has to be done anew."""
        job = self._job(zone)
        return out_of_reach(job, zone[1], anchor.steps, self._ladder(zone).rungs) if zone[1] in job.marks else False

    def _counted(self, zone: Place, number: int) -> tuple[Wait | None, list[Anchor]]:
        """Return the wait of a turn, and what it counts from."""
        turn, recipe, job = self.turns(zone)[number], self._recipe(zone), self._job(zone)
        wait = wait_of(recipe, turn.number, turn.place)
        if wait is None:
            return None, []
        first, zone_state = recipe.group_of(turn.place).start, job.zones[zone[1]]
        step = counts_from(recipe, wait, first, turn.number, zone_state)
        if wait.of is not None:
            return wait, anchors_of(job, zone[1], wait, turn.place, zone_state)
        return wait, [Anchor(zone[1], (step,), 1)]

    def _last_covering(self, zone: Place) -> Step | None:
        recipe = self._recipe(zone)
        return recipe.step[recipe.covering[-1]] if recipe.covering else None

    def _cured(self, zone: Place) -> float:
        """Return when a zone need no longer be kept dry."""
        turns, recipe = self.turns(zone), self._recipe(zone)
        if turns:
            return self._ends(zone, len(turns) - 1) + recipe.finish.keep_dry_hours * 3600
        cure = cure_of(self._job(zone), zone[1])
        return self.seconds(cure.dry_until) if cure and cure.dry_until else 0.0

    def _together(self, other: Place, zone: Place, turn: Turn) -> bool:
        """Whether a zone keeps nothing from this step of another: it is the same, or the same touch does it on both."""
        if other == zone:
            return True
        blocks = self._job(zone).job.block_of
        same = other[0] == zone[0] and blocks.get(other[1]) is blocks[zone[1]]
        return same and any(its.id == turn.id for its in self.turns(other))


def _turns(recipe: Recipe, ladder: LadderPosition) -> Iterator[Turn]:
    """Yield the steps left: those that may come next, then group by group."""
    places = ladder.next_places
    while places:
        group = recipe.group_of(places[0])
        done = len(group) - len(places)
        for number, place in enumerate(places):
            yield Turn(place, done + number, recipe.step[place])
        places = tuple(recipe.group_of(group.stop)) if group.stop < len(recipe.step) else ()


def _ends(now: BayFacts) -> Iterator[StepFinished]:
    """Yield the ends of all that is under way, each once it has lasted as long as its recipe says."""
    touches: dict[tuple[object, ...], int] = {}
    for one in now.running:
        touches[_touch(one)] = touches.get(_touch(one), 0) + 1
    for one in now.running:
        lasts = timedelta(minutes=one.step.minutes) * touches[_touch(one)]
        ends = max(now.at, one.run.started_at + lasts)
        yield StepFinished(at=ends, job=one.job.job.id, by=one.run.by, zone=one.zone, step=one.run.step)


def _touch(one: Running) -> tuple[object, ...]:
    return (one.job.job.id, one.run.step, one.run.started_at, one.run.by)
