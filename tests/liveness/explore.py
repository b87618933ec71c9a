"""Visits every state that accepted touches reach, and looks for a way to the end from each.

A touch begins a step of a zone or of zones together or ends it, covers or uncovers a coat, or closes a set early;
nothing is undone, nothing deviates. Between touches time passes to the next instant at which some verdict changes: to
where a wait opens or a surface need no longer be kept dry, to the last moment of a window and to just after it. A
person may stop anywhere between; what is then judged alike is one state (``clock_regions``).
"""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import combinations

from bayapp.job import BayState, FinishStep, Job, Start, fold, gate, why_not
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.events import AirRead, JobOpened
from bayapp.job.state.requests import CloseSet, Cover, Request, Uncover
from bayapp.job.state.state import JobState, StepRun
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position, next_places
from bayapp.job.waits.waits import Window
from tests.liveness.clock_regions import MS, Key, Regions

NONE = -1


@dataclass(frozen=True, slots=True)
class Move:
    """What leads from one state to another: a touch, or time that passes.

    Attributes:
        kind: the touch without who and where.
    """

    at: datetime
    words: str
    kind: str


@dataclass
class Space:
    """All the states of a job.

    Attributes:
        came_from: the state that each was first met from, by number, and the move; the first state came from none.
        moves: for each state, the numbers of those that follow.
        ends: states in which nothing is left to do.
    """

    job: Job
    came_from: list[tuple[int, Move | None]] = field(default_factory=list)
    moves: list[list[int]] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)

    @property
    def dead(self) -> frozenset[int]:
        """The states from which no way leads to the end."""
        before: list[list[int]] = [[] for _ in self.moves]
        for number, following in enumerate(self.moves):
            for other in following:
                before[other].append(number)
        alive, left = set(self.ends), list(self.ends)
        while left:
            for number in before[left.pop()]:
                if number not in alive:
                    alive.add(number)
                    left.append(number)
        return frozenset(range(len(self.moves))) - alive

    def path(self, number: int) -> list[Move]:
        """Return the moves on the shortest way to a state, by their count."""
        found: list[Move] = []
        while (move := self.came_from[number][1]) is not None:
            found.append(move)
            number = self.came_from[number][0]
        return found[::-1]


def opened(job: Job) -> BayState:
    """Return the bay with the car just in, and the air read."""
    air = AirRead(at=job.start, air_c=20.0, rh_percent=50.0, surface_c=20.0)
    return fold([JobOpened(at=job.start, job=job.id, opened=job), air])


def explore(job: Job, most: int = 10**9, told: Callable[[int], None] = lambda count: None) -> Space:
    """Return every state of a job that stands alone in the bay.

    Raises:
        OverflowError: there are more than ``most``.
    """
    first = opened(job)
    regions, space = Regions(first), Space(job)
    numbers: dict[Key, int] = {}
    left: deque[tuple[int, BayState, datetime]] = deque()

    def number_of(state: BayState, at: datetime, came_from: tuple[int, Move | None]) -> int:
        key = regions.key(state, at)
        if key not in numbers:
            numbers[key] = len(numbers)
            space.came_from.append(came_from)
            space.moves.append([])
            left.append((numbers[key], state, at))
        return numbers[key]

    number_of(first, job.start, (NONE, None))
    while left:
        number, state, at = left.popleft()
        if number >= most:
            raise OverflowError(f"more than {most} states")
        if number % 1000 == 0:
            told(len(numbers))
        if done(state):
            space.ends.append(number)
        for move, after in following(state, at):
            space.moves[number].append(number_of(after, move.at, (number, move)))
    return space


def done(state: BayState) -> bool:
    """Whether nothing is left to do."""
    (car,) = state.jobs.values()
    return all(not z.running and not next_places(car.job.recipe_of(name), z.rungs) for name, z in car.zones.items())


def following(state: BayState, at: datetime) -> Iterator[tuple[Move, BayState]]:
    """Yield every state that one touch leads to, and the one that time leads to."""
    facts = BayFacts(state, at)
    for request in touches(state, at):
        verdict = judge(request, facts)
        if verdict.accepted:
            yield Move(at, *_words(request)), _lean(fold(verdict.events, state))
    moment = next_moment(state, at)
    if moment is not None:
        yield Move(moment, "time passes", "time passes"), state


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


def _lean(state: BayState) -> BayState:
    """Return the state without what only undoing and papers ask for."""
    (car,) = state.jobs.values()
    zones = {name: replace(z, before=None, lapses=()) for name, z in car.zones.items()}
    return replace(state, jobs={car.job.id: replace(car, zones=zones)})


def _words(request: Request) -> tuple[str, str]:
    """Return a touch in few words, and again without who and where."""
    match request:
        case Start(zones=zones, step=step, by=by):
            return f"{by}: begin {step} on {', '.join(zones)}", f"begin {step}"
        case FinishStep(zones=zones, step=step):
            return f"done {step} on {', '.join(zones)}", f"done {step}"
        case Cover(zones=zones) | Uncover(zones=zones) | CloseSet(zones=zones):
            return f"{type(request).__name__} {', '.join(zones)}", type(request).__name__
    raise TypeError(request)


def closing(space: Space) -> list[int]:
    """Return the dead states that a move leads to from a live one on the shortest way, the nearest first."""
    dead = space.dead
    return [number for number in sorted(dead) if space.came_from[number][0] not in dead]


def replayed(job: Job, moves: Sequence[Move]) -> tuple[BayState, datetime]:
    """Return the bay after these moves."""
    state, at = opened(job), job.start
    for move in moves:
        state, at = next((s, m.at) for m, s in following(state, at) if m == move)
    return state, at


def refusals(state: BayState, at: datetime) -> list[str]:
    """Return why what comes next on each zone is refused now, in words."""
    (car,) = state.jobs.values()
    found = []
    for block_step, zones in _due(car, at):
        for zone in zones:
            verdict = gate(state, Start(car.job.id, (zone,), block_step, car.job.crew[0]), at)
            found += [f"{block_step} on {zone}: {why_not(refusal, state)}" for refusal in verdict.refusals]
    return found
