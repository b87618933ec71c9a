"""The ages of runs that a rule may still ask for, and where along an age a verdict changes.

A wait counts from the end or the first stroke of a run, and a cure from the end of the last one. An age that no rule
will ask for again before the step is done anew is not held: Daws and Yovine, "Reducing the number of clock variables
of timed automata", RTSS 1996 (active clocks; from memory). That is sound because the successors of two states that
differ in such an age alone differ in it alone, until it begins anew; whoever looks one up that is not held learns so
(``ForgottenError`` in ``situations``).
"""

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from itertools import permutations, product
from typing import Literal, NamedTuple

from bayapp.job import Job
from bayapp.job.model.ids import SetName, StepId, ZoneId
from bayapp.job.model.recipe import Recipe, Wait
from bayapp.job.state.state import JobState, StepRun, ZoneState
from bayapp.job.waits.ladder_position import rework_rung
from bayapp.job.waits.ripening_waits import edges_of, moments

MS = timedelta(milliseconds=1)
Edge = Literal["start", "end"]


class Age(NamedTuple):
    """What an age counts from: the first stroke or the end of the first, last or running run of a step."""

    zone: ZoneId
    step: StepId
    which: Literal["first", "last", "running"]
    edge: Edge


class Counted(NamedTuple):
    """A wait, by its zone and place, a zone and step that it may count from, and its length in the air there is."""

    own: ZoneId
    place: int
    zone: ZoneId
    step: StepId
    wait: Wait
    earliest: timedelta
    latest: timedelta | None


class Asked(NamedTuple):
    """An age that a rule may ask for: of which run, and the ages in ms at which a verdict changes, rising.

    A wait is open from its earliest moment on, and missed from the millisecond after its latest.
    """

    age: Age
    run: StepRun
    cuts: tuple[int, ...]

    def lasted(self, at: datetime) -> timedelta:
        """Return the age at an instant."""
        edge = self.run.started_at if self.age.edge == "start" else self.run.finished_at
        assert edge is not None, "a run under way has an age from its first stroke only"
        return at - edge


@dataclass(frozen=True)
class Ages:
    """Which ages of one car, which stands alone in a bay whose air never changes, rules may ask for.

    Attributes:
        car: as it came in.
        sent_back: whether zones may be sent back to any step that stands, at any time.

    Raises:
        TypeError: a wait of a set counts from a first stroke, or opens in no air that there is: not known here.
    """

    car: JobState
    sent_back: bool = False

    def __post_init__(self) -> None:
        if others := [c for c in self.counted if c.wait.of is not None and c.wait.max_from == "start"]:
            raise TypeError(f"ages do not tell when these may go on: {others}")

    @property
    def job(self) -> Job:
        """The job."""
        return self.car.job

    def asked(self, car: JobState) -> Iterator[Asked]:
        """Yield the ages that a rule may still ask for; which and where a verdict changes depends on no age.

        Where there is a latest moment others count the first run, else the one that stands; a zone counts its last.
        """
        for zone, stands in car.zones.items():
            for step, counting in self._counting[zone].items():
                first, last = stands.first_finished(step), stands.last_finished(step)
                if first is not None:
                    firsts = [c for c in self._of_first_runs(car, zone, step) if self._is_last_of_set(stands, c)]
                    yield from _aged(zone, step, "first", first, firsts)
                if last is not None and _stand(stands, step):
                    lasts = [c for c in counting if c.own != zone and c.latest is None and self._may_ask(car, c)]
                    own = [c for c in counting if c.own == zone and self._asks_itself(stands, c)]
                    lasts += [c for c in own if self._is_last_of_group(stands, c)]
                    yield from _aged(zone, step, "last", last, lasts, self._kept_ms(zone, step))
                if stands.running and stands.running.step == step:
                    yield from _aged(zone, step, "running", stands.running, counting)

    def begun_before(self, car: JobState, zone: ZoneId) -> tuple[StepId, ...]:
        """Return the steps that a zone has ever ended and of which others may ask whether it has."""
        stands = car.zones[zone]
        ended = [step for step in self._counting[zone] if stands.first_finished(step) is not None]
        return tuple(sorted(step for step in ended if self._of_first_runs(car, zone, step)))

    def _of_first_runs(self, car: JobState, zone: ZoneId, step: StepId) -> list[Counted]:
        """Return the waits of other zones that count from the first run of a step."""
        others = [c for c in self._counting[zone][step] if c.own != zone and c.latest is not None]
        return [c for c in others if self._may_ask(car, c)]

    def _is_last_of_set(self, stands: ZoneState, counted: Counted) -> bool:
        """Whether a wait of a set may count from the first run of this step of a zone, and not from a later one.

        Where the last coats may swap, the set waits for all of them, and so for the one that ended last.
        """
        if counted.wait.of == "block":
            return True
        steps = self.job.recipe_of(counted.zone).counted_for_set(counted.wait)
        first = list(dict.fromkeys(run.step for run in stands.runs if run.step in steps))
        return len(first) == len(steps) and first[-1] == counted.step

    def _is_last_of_group(self, stands: ZoneState, counted: Counted) -> bool:
        """Whether a wait of the zone itself may count from the run of this step that stands, and not from a later one.

        Of steps that may swap it counts from the one that was done last.
        """
        if counted.wait.of == "block" or counted.wait.after is not None:
            return True
        recipe = self.job.recipe_of(counted.zone)
        group = recipe.group_of(recipe.position(counted.step))
        return [run.step for run in stands.rungs if recipe.position(run.step) in group][-1] == counted.step

    def _kept_ms(self, zone: ZoneId, step: StepId) -> set[int]:
        """Return how long a zone is kept dry after its last step, and free of dust after its last levelling, ms."""
        recipe, place = self.job.recipe_of(zone), self.job.recipe_of(zone).position(step)
        found = set[int]()
        if place in recipe.group_of(len(recipe.step) - 1):
            found.add(timedelta(hours=recipe.finish.keep_dry_hours) // MS)
        if recipe.covering and place in recipe.group_of(recipe.covering[-1]):
            found.add(timedelta(minutes=recipe.finish.dust_free_minutes) // MS)
        return found - {0}

    def _may_ask(self, car: JobState, counted: Counted) -> bool:
        """Whether a zone has the wait still ahead, or may again after a fall."""
        stands, recipe = car.zones[counted.own], self.job.recipe_of(counted.own)
        if not _passed(recipe, stands, counted.place):
            return True
        return any(to <= counted.place for to in self._falls(counted.own, stands))

    def _asks_itself(self, stands: ZoneState, counted: Counted) -> bool:
        """Whether a zone has a wait of its own run still ahead, or may again after a fall to between the two.

        Who has fallen below the step itself must do it again before anything counts from it.
        """
        recipe, place = self.job.recipe_of(counted.own), counted.place
        falls = self._falls(counted.own, stands)
        below = recipe.position(counted.step)
        return not _passed(recipe, stands, place) or any(below < to <= place for to in falls)

    def _falls(self, zone: ZoneId, stands: ZoneState) -> frozenset[int]:
        """Return the places that a zone may still fall to: none once no latest moment is ahead of it."""
        recipe = self.job.recipe_of(zone)
        if self.sent_back:
            return frozenset(range(len(recipe.step)))
        late = [place for place, step in enumerate(recipe.step) if step.wait and step.wait.latest is not None]
        ahead = any(not _passed(recipe, stands, place) for place in late)
        return self._all_falls[zone] if ahead else frozenset()

    @cached_property
    def counted(self) -> tuple[Counted, ...]:
        """Every wait with each zone and step that it may count from."""
        return tuple(
            Counted(own, place, zone, step, wait, *self._lengths(zone, step, wait))
            for own in self.job.block_of
            for place, rung in enumerate(self.job.recipe_of(own).step)
            if (wait := rung.wait) is not None
            for zone, step in self._anchors(own, place, wait)
        )

    def _lengths(self, zone: ZoneId, step: StepId, wait: Wait) -> tuple[timedelta, timedelta | None]:
        """Return how long a wait is; one that depends on the air, in the air as it was read."""
        edges = edges_of(self.job, zone, step, wait)
        if edges is None:
            return wait.earliest, wait.latest
        since = self.car.opened_at + timedelta(days=1)
        opens, lapses, _ = moments(edges, wait, self.car.readings, since, since)
        if opens is None:
            raise TypeError(f"what follows on {step} of {zone} does not ripen")
        return opens - since, None if lapses is None else lapses - since

    @cached_property
    def orders(self) -> tuple[tuple[ZoneId, ...], ...]:
        """The orders of the zones that no rule tells apart: those of one work block that are in the same sets.

        Clarke, Enders, Filkorn and Jha, "Exploiting symmetry in temporal logic model checking", Formal Methods in
        System Design 9 (1996; from memory): swapping such zones, and likewise people, maps moves onto moves.
        """
        named = {c.wait.of for c in self.counted if c.wait.of is not None} - {"block"}
        sets = [frozenset(self.job.members(SetName(name))) for name in sorted(named)]
        classes: dict[object, list[ZoneId]] = {}
        for zone, block in self.job.block_of.items():
            classes.setdefault((block.zones, tuple(zone in s for s in sets)), []).append(zone)
        return tuple(
            tuple(z for part in order for z in part) for order in product(*map(permutations, classes.values()))
        )

    @cached_property
    def _counting(self) -> Mapping[ZoneId, Mapping[StepId, list[Counted]]]:
        """What counts from each step of each zone."""
        found: dict[ZoneId, dict[StepId, list[Counted]]] = {}
        for zone in self.job.block_of:
            recipe = self.job.recipe_of(zone)
            kept = (
                *recipe.group_of(len(recipe.step) - 1),
                *(recipe.group_of(recipe.covering[-1]) if recipe.covering else ()),
            )
            found[zone] = {StepId(recipe.step[p].id): [] for p in kept}
        for counted in self.counted:
            found[counted.zone].setdefault(counted.step, []).append(counted)
        return found

    @cached_property
    def _all_falls(self) -> Mapping[ZoneId, frozenset[int]]:
        return {zone: frozenset(_falls_of(self.job.recipe_of(zone))) for zone in self.job.block_of}

    def _anchors(self, own: ZoneId, place: int, wait: Wait) -> Iterator[tuple[ZoneId, StepId]]:
        recipe = self.job.recipe_of(own)
        if wait.of not in (None, "block"):
            for zone in self.job.members(SetName(str(wait.of))):
                yield from ((zone, step) for step in self.job.recipe_of(zone).counted_for_set(wait))
            return
        zones = (own,) if wait.of is None else self.job.block_of[own].zones
        steps = [StepId(wait.after)] if wait.after else _just_before(recipe, place)
        yield from product(zones, steps)


def _aged(
    zone: ZoneId,
    step: StepId,
    which: Literal["first", "last", "running"],
    run: StepRun,
    counting: Iterable[Counted],
    kept_ms: Set[int] = frozenset(),
) -> Iterator[Asked]:
    """Yield the ages of a run that these waits ask for; one under way has no end yet."""
    cuts: dict[Edge, set[int]] = {"start": set(), "end": set(kept_ms)}
    for counted in counting:
        if counted.earliest:
            cuts["end"].add(counted.earliest // MS)
        if counted.latest is not None:
            cuts["start" if counted.wait.max_from == "start" else "end"].add(counted.latest // MS + 1)
    for edge, own in cuts.items():
        if own and (edge == "start" or run.finished_at is not None):
            yield Asked(Age(zone, step, which, edge), run, tuple(sorted(own)))


def _falls_of(recipe: Recipe) -> Iterator[int]:
    """Yield every place that a zone may be set back to: by a latest moment, or by whoever does the work again."""
    for place, step in enumerate(recipe.step):
        if step.wait and step.wait.latest is not None:
            back = recipe.falls_back_to(place)
            yield recipe.group_of(rework_rung(recipe, place)).start
            if back is not None:
                yield recipe.group_of(back).start


def _stand(stands: ZoneState, step: StepId) -> bool:
    return any(run.step == step for run in stands.rungs)


def _passed(recipe: Recipe, stands: ZoneState, place: int) -> bool:
    """Whether the wait at a place is behind the zone; of steps that may swap it belongs to a turn, not to a step."""
    group = recipe.group_of(place)
    done = sum(recipe.position(run.step) in group for run in stands.rungs)
    return done > place - group.start


def _just_before(recipe: Recipe, place: int) -> list[StepId]:
    own = recipe.group_of(place)
    before = recipe.group_of(own.start - 1) if own.start else range(0)
    return [StepId(recipe.step[p].id) for p in (*before, *(own if len(own) > 1 else ()))]
