"""What may be done next in a bay with one car: the touches, what each leads to, and when time changes a verdict.

A touch begins a step of a zone or of zones together or ends it, covers or uncovers a coat, or closes a set early;
nothing is undone, nothing deviates. Time is here let pass only to the next instant at which some verdict changes: to
where a wait opens or a surface need no longer be kept dry, to the last moment of a window and to just after it. Whoever
needs the instants between must ask for them (``every_state`` does).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import combinations

from bayapp.job import BayState, FinishStep, Job, Start, fold, gate, why_not
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.events import AirRead, JobOpened
from bayapp.job.state.requests import CloseSet, Cover, Request, SendBack, Uncover
from bayapp.job.state.state import JobState, StepRun
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position, next_places
from bayapp.job.waits.waits import Window
from tests.liveness.ages import MS


@dataclass(frozen=True, slots=True)
class Move:
    """A touch that was made, in words.

    Attributes:
        kind: the touch without who and where.
    """

    at: datetime
    words: str
    kind: str


Next = tuple[Request | None, datetime, BayState]
"""A touch, or none where time passes; when, and what it leads to."""


def opened(job: Job) -> BayState:
    """Return the bay with the car just in, and the air read."""
    air = AirRead(at=job.start, air_c=20.0, rh_percent=50.0, surface_c=20.0)
    return fold([JobOpened(at=job.start, job=job.id, opened=job), air])


def done(state: BayState) -> bool:
    """Whether nothing is left to do."""
    (car,) = state.jobs.values()
    return all(not z.running and not next_places(car.job.recipe_of(name), z.rungs) for name, z in car.zones.items())


def following(
    state: BayState, at: datetime, allowed: Callable[[Request], bool] = lambda request: True
) -> Iterator[Next]:
    """Yield what each touch leads to that is allowed and that the gate accepts, and what time leads to."""
    facts = BayFacts(state, at)
    for request in filter(allowed, touches(state, at)):
        verdict = judge(request, facts)
        if verdict.accepted:
            yield request, at, lean(fold(verdict.events, state))
    moment = next_moment(state, at)
    if moment is not None:
        yield None, moment, state


def touches(state: BayState, at: datetime) -> Iterator[Request]:
    """Yield what may be asked for: of each zone by itself, and what comes next on zones together."""
    (car,) = state.jobs.values()
    name = car.job.id
    for zone, stands in car.zones.items():
        if stands.running:
            yield FinishStep(name, (zone,), stands.running.step, stands.running.by)
        yield from (Cover(name, (zone,)), Uncover(name, (zone,)), CloseSet(name, (zone,)))
    person = _free(car)
    if person is not None:
        for step, zones in _due(car, at):
            for count in range(1, len(zones) + 1):
                for together in combinations(zones, count):
                    yield Start(name, together, step, person)


def sendings_back(state: BayState) -> Iterator[Request]:
    """Yield what may be asked for where work is found wanting: each zone back to each step that stands."""
    (car,) = state.jobs.values()
    for zone, stands in car.zones.items():
        for step in {run.step: None for run in stands.rungs}:
            yield SendBack(car.job.id, (zone,), step, "a smear")


def _free(car: JobState) -> Person | None:
    """Return somebody who is not at work; who of them it is makes no difference."""
    busy = {z.running.by for z in car.zones.values() if z.running}
    return next((person for person in car.job.crew if person not in busy), None)


def _due(car: JobState, at: datetime) -> Iterator[tuple[StepId, list[ZoneId]]]:
    """Yield the steps that come next in each work block, with the zones on which they do."""
    for block in car.job.blocks:
        found: dict[StepId, list[ZoneId]] = {}
        for zone in block.zones:
            if not car.zones[zone].running:
                for place in places(ladder_position(car, zone, at)):
                    found.setdefault(StepId(block.recipe.step[place].id), []).append(zone)
        yield from found.items()


def places(stands: LadderPosition | None) -> Iterator[int]:
    """Yield what comes next on a ladder, and where a zone is held what may be done again instead."""
    while stands is not None:
        yield from stands.next_places
        stands = stands.rework


def next_moment(state: BayState, at: datetime) -> datetime | None:
    """Return the next instant at which a verdict changes, or None where none ever will unless somebody touches."""
    return min((moment for moment in _moments(state, at) if moment > at), default=None)


def _moments(state: BayState, at: datetime) -> Iterator[datetime]:
    (car,) = state.jobs.values()
    for zone, stands in car.zones.items():
        cure = cure_of(car, zone)
        if cure and cure.dry_until:
            yield cure.dry_until
        if stands.running:
            for latest in _from_first_stroke(car, zone, stands.running):
                yield from (latest, latest + MS)
        elif isinstance(window := ladder_position(car, zone, at).window, Window):
            if window.opens_at:
                yield window.opens_at
            if window.lapses_at:
                yield from (window.lapses_at, window.lapses_at + MS)


def _from_first_stroke(car: JobState, zone: ZoneId, running: StepRun) -> Iterator[datetime]:
    """Yield the latest moments that count from the first stroke of what runs."""
    recipe = car.job.recipe_of(zone)
    place = recipe.position(running.step)
    for later, rung in enumerate(recipe.step):
        if rung.wait and rung.wait.latest and rung.wait.max_from == "start":
            counts = rung.wait.after == running.step or (rung.wait.after is None and later == place + 1)
            yield from [running.started_at + rung.wait.latest] if counts else []


def lean(state: BayState) -> BayState:
    """Return the state without what only undoing and papers ask for."""
    (car,) = state.jobs.values()
    zones = {name: replace(z, before=None, lapses=()) for name, z in car.zones.items()}
    return replace(state, jobs={car.job.id: replace(car, zones=zones)})


def as_move(request: Request, at: datetime) -> Move:
    """Return a touch in words."""
    match request:
        case Start(zones=zones, step=step, by=by):
            return Move(at, f"{by}: begin {step} on {', '.join(zones)}", f"begin {step}")
        case FinishStep(zones=zones, step=step):
            return Move(at, f"done {step} on {', '.join(zones)}", f"done {step}")
        case SendBack(zones=zones, step=step):
            return Move(at, f"{', '.join(zones)} back to {step}", f"back to {step}")
        case Cover(zones=zones) | Uncover(zones=zones) | CloseSet(zones=zones):
            kind = type(request).__name__
            return Move(at, f"{kind} {', '.join(zones)}", kind)
    raise TypeError(request)


def refusals(state: BayState, at: datetime) -> list[str]:
    """Return why what comes next on each zone is refused now, in words."""
    (car,) = state.jobs.values()
    found = []
    for block_step, zones in _due(car, at):
        for zone in zones:
            verdict = gate(state, Start(car.job.id, (zone,), block_step, car.job.crew[0]), at)
            found += [f"{block_step} on {zone}: {why_not(refusal, state)}" for refusal in verdict.refusals]
    return found
