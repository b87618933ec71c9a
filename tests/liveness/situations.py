"""What a state of a bay holds beside ages of runs: how each ladder is climbed, who works where, what is covered.

States that differ only by swapping people, or zones that no rule tells apart, are one situation.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from typing import NamedTuple

from bayapp.job import BayState
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.state import JobState, StepRun, ZoneState
from tests.liveness.age_bounds import Cuts
from tests.liveness.ages import MS, Age, Ages, Asked

LONG = timedelta(days=1000)
HELD = {"runs", "rungs", "running", "without", "covered"}
UNASKED = {"lapses", "before", "uncounted", "aid"}
"""Fields of a zone that no touch made here changes a verdict by."""

Key = str
Order = tuple[ZoneId, ...]


class ForgottenError(LookupError):
    """A rule asks for an age that was not held: ``Ages.asked`` drops it too early."""


@dataclass(frozen=True)
class Situation:
    """A situation, and a state to show it by.

    Attributes:
        ages: those that rules may ask for, of the zones as they are in ``state``.
        order: the zones in the order in which they are compared with those of other states.
    """

    key: Key
    state: BayState
    order: Order
    ages: tuple[Age, ...]
    cuts: Cuts

    @property
    def caps(self) -> tuple[int, ...]:
        """For each age the last at which a verdict changes: all that are older are alike."""
        return tuple(own[-1] for own in self.cuts)


class Seen(NamedTuple):
    """A state as one of a situation: in each order of its zones that makes it one, the ages that are asked for."""

    key: Key
    orders: tuple[tuple[Order, tuple[Age, ...]], ...]
    asked: Mapping[Age, Asked]


@dataclass(frozen=True)
class Situations:
    """Tells the situations of one job apart.

    Whatever else a state holds must be as it was at ``first``, when the car came in, or ``seen`` would lose it.
    """

    first: BayState
    ages: Ages

    def seen(self, state: BayState) -> Seen:
        """Return a state's situation.

        Raises:
            TypeError: the state holds what situations know nothing of.
        """
        (car,) = state.jobs.values()
        self._expect_nothing_else(car)
        found = {asked.age: asked for asked in self.ages.asked(car)}
        by_zone: dict[ZoneId, list[Age]] = {zone: [] for zone in car.zones}
        for age in sorted(found):
            by_zone[age.zone].append(age)
        begun = {zone: self.ages.begun_before(car, zone) for zone in car.zones}
        keys = {order: _key(car, order, by_zone, begun) for order in self.ages.orders}
        key = min(keys.values())
        orders = tuple((o, tuple(age for zone in o for age in by_zone[zone])) for o, own in keys.items() if own == key)
        return Seen(key, orders, found)

    def situation(self, seen: Seen, state: BayState) -> Situation:
        """Return a situation, shown by this state of it."""
        order, ages = seen.orders[0]
        cuts = tuple(seen.asked[age].cuts for age in ages)
        return Situation(seen.key, state, order, ages, cuts)

    def aged(self, situation: Situation, ages: Sequence[int]) -> tuple[BayState, datetime]:
        """Return the state of a situation in which the runs have these ages, ms, and its instant."""
        (car,) = situation.state.jobs.values()
        at = car.opened_at + LONG
        counted = {age: at - ms * MS for age, ms in zip(situation.ages, ages, strict=True)}
        zones = {zone: _aged(zone, stands, counted, car.opened_at) for zone, stands in car.zones.items()}
        return replace(situation.state, jobs={car.job.id: replace(car, zones=zones)}), at

    def _expect_nothing_else(self, car: JobState) -> None:
        (first,) = self.first.jobs.values()
        unknown = _names(ZoneState) - HELD - UNASKED
        zones = [(name, car.zones[z], first.zones[z]) for z in car.zones for name in unknown]
        others = [(name, car, first) for name in _names(JobState) - {"zones"}]
        changed = {name for name, now, then in (*zones, *others) if getattr(now, name) != getattr(then, name)}
        if changed:
            raise TypeError(f"a state holds what situations know nothing of: {changed}")


def sources_of(before: Situation, state: BayState, seen: Seen, ages: Sequence[Age]) -> list[int]:
    """Return for each age of a state that one touch made the place of that age before, from 1 on; 0 where it is new.

    ``state`` is what the touch was made in. A run that ends keeps its first stroke.

    Raises:
        ForgottenError: an age is of a run that was there before, but was not held.
    """
    (car,) = state.jobs.values()
    held = {}
    for age, place in zip(before.ages, range(1, len(before.ages) + 1), strict=True):
        held[id(_run_of(car, age)), age.edge] = place
    found = []
    for age in ages:
        run, stands = seen.asked[age].run, car.zones[age.zone]
        known = any(run is other for other in (*stands.runs, *stands.rungs, stands.running))
        if not known and age.edge == "start" and run.finished_at is not None and stands.running is not None:
            run, known = stands.running, True
        if known and (id(run), age.edge) not in held:
            raise ForgottenError(f"{age} after {before.key}")
        found.append(held.get((id(run), age.edge), 0))
    return found


def _run_of(car: JobState, age: Age) -> StepRun | None:
    stands = car.zones[age.zone]
    if age.which == "running":
        return stands.running
    return stands.first_finished(age.step) if age.which == "first" else stands.last_finished(age.step)


def _aged(zone: ZoneId, stands: ZoneState, counted: Mapping[Age, datetime], long_ago: datetime) -> ZoneState:
    """Return a zone with only the runs that rules may count from, the others long ago."""

    def edge(step: StepId, which: str, edge: str) -> datetime:
        return counted.get(Age(zone, step, which, edge), long_ago)  # type: ignore[arg-type]

    first: dict[StepId, StepRun] = {}
    last: dict[StepId, StepRun] = {}
    for run in stands.runs:
        step = run.step
        first[step] = StepRun(step, edge(step, "first", "start"), run.by, finished_at=edge(step, "first", "end"))
        last[step] = StepRun(step, edge(step, "last", "start"), run.by, finished_at=edge(step, "last", "end"))
    running = stands.running and StepRun(
        stands.running.step, edge(stands.running.step, "running", "start"), stands.running.by
    )
    return replace(
        stands,
        runs=(*first.values(), *last.values()),
        rungs=tuple(last[run.step] for run in stands.rungs),
        running=running,
        before=None,
        lapses=(),
        aid=None,
    )


def _key(
    car: JobState, order: Order, ages: Mapping[ZoneId, list[Age]], begun: Mapping[ZoneId, tuple[StepId, ...]]
) -> Key:
    """Return what a situation holds, with the zones in this order and the people numbered as they come."""
    people: dict[Person | None, int] = {}
    parts = []
    for zone in order:
        stands = car.zones[zone]
        run = stands.running
        parts.append(
            " ".join(
                (
                    *(rung.step for rung in stands.rungs),
                    f"/{run.step}:{people.setdefault(run.by, len(people))}" if run else "/",
                    "covered" if stands.covered else "bare",
                    *(f"without-{n}" for n, other in enumerate(order) if other in stands.without),
                    *(f"was-{step}" for step in begun[zone]),
                    *(f"{age.which}-{age.edge}-{age.step}" for age in ages[zone]),
                )
            )
        )
    return " | ".join(parts)


def _names(of: type[ZoneState | JobState]) -> set[str]:
    return {field.name for field in fields(of)}
