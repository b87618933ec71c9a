"""States of a bay that every rule judges alike: the same ladders, the same people at work, clocks in the same region.

Two clocks are in the same region where no rule can tell them apart, now or later: the same whole number of units, the
same order of what is left over, and all that is older than its longest wait is old. That is the region construction of
Alur and Dill, "A theory of timed automata", Theoretical Computer Science 126 (1994), section 4.3.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import datetime, timedelta
from functools import cached_property
from itertools import permutations, product
from math import gcd

from bayapp.job import BayState, Job
from bayapp.job.model.ids import Person, SetName, StepId, ZoneId
from bayapp.job.model.recipe import Recipe, Wait
from bayapp.job.state.state import JobState, StepRun, ZoneState

MS = timedelta(milliseconds=1)
OLD = (-1, 0)
TOLD_APART_BY = {"runs", "rungs", "running", "lapses", "before", "uncounted", "without", "covered", "aid"}
"""Fields of a zone that the key holds, or that no touch made here changes a verdict by."""

Key = tuple[object, ...]


@dataclass(frozen=True)
class Regions:
    """How the clocks of one job, which stands alone in the bay, are told apart.

    Whatever else a state holds must be as it was at ``first``, when the car came in, or ``key`` would lose it.
    """

    first: BayState

    @cached_property
    def job(self) -> Job:
        """The job."""
        (car,) = self.first.jobs.values()
        return car.job

    def key(self, state: BayState, at: datetime) -> Key:
        """Return what tells a state from those that every rule judges otherwise."""
        (car,) = state.jobs.values()
        self._expect_nothing_else(car)
        ages = {zone: list(self._ages(zone, car.zones[zone], at)) for zone in car.zones}
        rests = {age % self.unit for found in ages.values() for _, age in found if age is not None} | {timedelta()}
        rank = {rest: number for number, rest in enumerate(sorted(rests))}
        seen = {
            zone: tuple(
                (name, OLD if age is None else (age // self.unit, rank[age % self.unit])) for name, age in found
            )
            for zone, found in ages.items()
        }
        return min((_in_order(car, seen, order, at) for order in self._orders), key=repr)

    def _expect_nothing_else(self, car: JobState) -> None:
        (first,) = self.first.jobs.values()
        zones = [(name, car.zones[z], first.zones[z]) for z in car.zones for name in _names(ZoneState) - TOLD_APART_BY]
        others = [(name, car, first) for name in _names(JobState) - {"zones"}]
        changed = {name for name, now, then in (*zones, *others) if getattr(now, name) != getattr(then, name)}
        if changed:
            raise TypeError(f"a state holds what the regions know nothing of: {changed}")

    def _ages(self, zone: ZoneId, stands: ZoneState, at: datetime) -> Iterator[tuple[object, timedelta | None]]:
        """Yield the age of every run that something may count from; None where it is older than any wait."""
        for step, longest in self.longest[zone].items():
            for which, run in self._counting(zone, stands, step):
                if run.finished_at is not None:
                    yield (step, which, "end"), _young(at - run.finished_at, longest)
                if step in self.from_start[zone]:
                    yield (step, which, "start"), _young(at - run.started_at, longest)

    def _counting(self, zone: ZoneId, stands: ZoneState, step: StepId) -> Iterator[tuple[str, StepRun]]:
        """Yield the runs of a step that something may still count from."""
        shared = step in self._shared[zone]
        first, last = stands.first_finished(step), stands.last_finished(step)
        if shared and first is not None:
            yield "first", first
        if last is not None and (shared or self._own_wait_ahead(zone, stands, step)):
            yield "last", last
        if stands.running and stands.running.step == step:
            yield "running", stands.running

    def _own_wait_ahead(self, zone: ZoneId, stands: ZoneState, step: StepId) -> bool:
        """Whether a step of the zone itself still counts from this one, or may again after a fall to between the two.

        Who has fallen below the step itself must do it again before anything counts from it.
        """
        recipe, standing = self.job.recipe_of(zone), {run.step for run in stands.rungs}
        if step not in standing:
            return False
        if recipe.position(step) in recipe.group_of(len(recipe.step) - 1):
            return True  # the zone is kept dry from then on
        falls = {to for place in range(len(recipe.step)) if (to := recipe.falls_back_to(place)) is not None}
        return any(
            recipe.step[place].id not in standing or any(recipe.position(step) < to <= place for to in falls)
            for place in self._dependents[zone].get(step, ())
        )

    @cached_property
    def longest(self) -> Mapping[ZoneId, Mapping[StepId, timedelta]]:
        """The longest wait that counts from each step of each zone; steps that nothing counts from are missing."""
        found: dict[ZoneId, dict[StepId, timedelta]] = {zone: {} for zone in self.job.block_of}
        for _, _, zone, step, wait in self._counted:
            longest = max(wait.earliest, wait.latest or timedelta())
            found[zone][step] = max(longest, found[zone].get(step, timedelta()))
        for zone, waits in found.items():
            recipe = self.job.recipe_of(zone)
            dry = timedelta(hours=recipe.finish.keep_dry_hours)
            for place in recipe.group_of(len(recipe.step) - 1):
                step = StepId(recipe.step[place].id)
                waits[step] = max(dry, waits.get(step, timedelta()))
        return found

    @cached_property
    def from_start(self) -> Mapping[ZoneId, frozenset[StepId]]:
        """The steps from whose first stroke something counts."""
        counted = [(zone, step) for _, _, zone, step, wait in self._counted if wait.max_from == "start"]
        return {zone: frozenset(step for z, step in counted if z == zone) for zone in self.job.block_of}

    @cached_property
    def unit(self) -> timedelta:
        """The greatest length that every wait is a multiple of."""
        lengths = [length for *_, wait in self._counted for length in (wait.earliest, wait.latest) if length]
        lengths += [timedelta(hours=self.job.recipe_of(zone).finish.keep_dry_hours) for zone in self.job.block_of]
        return gcd(*(length // MS for length in lengths)) * MS or timedelta(minutes=1)

    @cached_property
    def _shared(self) -> Mapping[ZoneId, frozenset[StepId]]:
        """The steps that waits of a block or set count from."""
        counted = [(zone, step) for _, _, zone, step, wait in self._counted if wait.of is not None]
        return {zone: frozenset(step for z, step in counted if z == zone) for zone in self.job.block_of}

    @cached_property
    def _dependents(self) -> Mapping[ZoneId, Mapping[StepId, tuple[int, ...]]]:
        """For each step of each zone, the places on the same ladder that count from it."""
        found: dict[ZoneId, dict[StepId, tuple[int, ...]]] = {zone: {} for zone in self.job.block_of}
        for own, place, _, step, wait in self._counted:
            if wait.of is None:
                found[own][step] = (*found[own].get(step, ()), place)
        return found

    @cached_property
    def _counted(self) -> tuple[tuple[ZoneId, int, ZoneId, StepId, Wait], ...]:
        """Every wait, by its zone and place, with each zone and step that it may count from."""
        return tuple(
            (own, place, zone, step, wait)
            for own in self.job.block_of
            for place, rung in enumerate(self.job.recipe_of(own).step)
            if (wait := rung.wait) is not None
            for zone, step in self._anchors(own, place, wait)
        )

    def _anchors(self, own: ZoneId, place: int, wait: Wait) -> Iterator[tuple[ZoneId, StepId]]:
        recipe = self.job.recipe_of(own)
        if wait.of not in (None, "block"):
            for zone in self.job.members(SetName(str(wait.of))):
                yield from ((zone, step) for step in self.job.recipe_of(zone).counted_for_set(wait))
            return
        zones = (own,) if wait.of is None else self.job.block_of[own].zones
        steps = [StepId(wait.after)] if wait.after else _just_before(recipe, place)
        yield from product(zones, steps)

    @cached_property
    def _orders(self) -> tuple[tuple[ZoneId, ...], ...]:
        """The orders of the zones that no rule tells apart: those of one work block that are in the same sets."""
        named = {wait.of for *_, wait in self._counted if wait.of is not None} - {"block"}
        sets = [frozenset(self.job.members(SetName(name))) for name in sorted(named)]
        classes: dict[object, list[ZoneId]] = {}
        for zone, block in self.job.block_of.items():
            classes.setdefault((block.zones, tuple(zone in s for s in sets)), []).append(zone)
        return tuple(
            tuple(z for part in order for z in part) for order in product(*map(permutations, classes.values()))
        )


def _names(of: type[ZoneState | JobState]) -> set[str]:
    return {field.name for field in fields(of)}


def _just_before(recipe: Recipe, place: int) -> list[StepId]:
    own = recipe.group_of(place)
    before = recipe.group_of(own.start - 1) if own.start else range(0)
    return [StepId(recipe.step[p].id) for p in (*before, *(own if len(own) > 1 else ()))]


def _young(age: timedelta, longest: timedelta) -> timedelta | None:
    return age if age <= longest else None


def _in_order(car: JobState, ages: Mapping[ZoneId, tuple[object, ...]], order: tuple[ZoneId, ...], at: datetime) -> Key:
    """Return the key with the zones in this order and the people numbered as they come."""
    people: dict[Person | None, int] = {}
    return tuple(
        (
            tuple(run.step for run in car.zones[zone].rungs),
            None if (run := car.zones[zone].running) is None else _at_work(run, people, at),
            car.zones[zone].covered is not None,
            tuple(number for number, other in enumerate(order) if other in car.zones[zone].without),
            ages[zone],
        )
        for zone in order
    )


def _at_work(run: StepRun, people: dict[Person | None, int], at: datetime) -> tuple[object, ...]:
    return run.step, people.setdefault(run.by, len(people)), run.started_at == at
