"""What is held of many states at once is what the gate says of each of them."""

import random
from collections import deque
from collections.abc import Hashable
from datetime import datetime, timedelta

import pytest

from bayapp.job import BayState, Job, fold, gate
from bayapp.job.model.ids import StepId
from bayapp.job.state.requests import CloseSet, Cover, Request, Uncover
from tests.liveness.age_bounds import ANY
from tests.liveness.ages import MS
from tests.liveness.clock_regions import Regions
from tests.liveness.dead_ends import DeadEnds, way_to
from tests.liveness.every_state import EveryState, Point
from tests.liveness.moves import lean, opened, touches
from tests.liveness.one_by_one import OneByOne, one_by_one
from tests.liveness.small_jobs import car, small_job


def visited(name: str, people: int) -> EveryState:
    states = EveryState(small_job(name, people))
    states.visit_all()
    return states


def held(states: EveryState, state: BayState, at: datetime) -> bool:
    """Whether a state is among those that were visited."""
    seen = states.known.seen(state)
    number = states.number_of(seen)
    if number is None:
        return False
    caps = states.situations[number].caps
    return any(
        _holds(visit.ages, tuple(seen.asked[age].lasted(at) // MS for age in ages), caps)
        for _, ages in seen.orders
        for visit in states.visits_of(number)
    )


def _holds(bounds, ages: Point, caps: Point) -> bool:
    for which, (age, cap) in enumerate(zip(ages, caps, strict=True), start=1):
        bounds = bounds and bounds.between(which, min(age, cap), age if age < cap else ANY)
    return bounds is not None


def walk(states: EveryState, seed: int, steps: int):
    """Yield the states of a walk of accepted touches, made at once, near where a verdict changes, or whenever."""
    chance = random.Random(seed)
    state, at = states.known.first, states.job.start
    for _ in range(steps):
        yield state, at
        asked = states.known.seen(state).asked.values()
        near = [cut * MS - a.lasted(at) + chance.choice((-MS, 0 * MS, MS)) for a in asked for cut in a.cuts]
        whenever = chance.randrange(60 * 60 * 1000) * MS
        at += max(timedelta(), chance.choice((timedelta(), timedelta(), chance.choice([*near, whenever]), whenever)))
        moves = [(request, v) for request in touches(state, at) if (v := gate(state, request, at)).accepted]
        if moves:
            state = lean(fold(chance.choice(moves)[1].events, state))


WALKED = (
    "pane in three layers",
    "panel in one layer",
    "pane and rim, short",
    "two panels apart, a coat before the polish",
    "two panels whose buff has no way back",
)
WALKED_FAR = ("pane and rim", "two panes, short", "two panes, quick, one in two layers", "two panes in any order")


@pytest.mark.parametrize("name", WALKED)
def test_whoever_walks_at_random_meets_no_state_that_was_not_visited(name: str):
    assert_walks_stay_within(visited(name, 2), 15)


@pytest.mark.slow
@pytest.mark.parametrize("name", WALKED_FAR)
def test_whoever_walks_far_at_random_meets_no_state_that_was_not_visited(name: str):
    assert_walks_stay_within(visited(name, 2), 100)


def assert_walks_stay_within(states: EveryState, walks: int) -> None:
    met = [(state, at) for seed in range(walks) for state, at in walk(states, seed, 40)]
    assert [states.known.seen(state).key for state, at in met if not held(states, state, at)] == []
    assert len({states.known.seen(state).key for state, _ in met}) > len(states.situations) / 3


@pytest.mark.parametrize("name", ["pane and rim, short", "two panels whose buff has no way back"])
def test_every_situation_that_was_visited_is_reached_by_touches_that_the_gate_accepts(name: str):
    states = visited(name, 2)
    first = {visit.situation: visit for visit in reversed(states.visits)}
    assert len(first) == len(states.situations)
    for number, visit in first.items():
        _, state, at = way_to(states, visit)
        assert states.number_of(states.known.seen(state)) == number
        assert held(states, state, at)


def frees_nothing(request: Request) -> bool:
    return not isinstance(request, Cover | Uncover | CloseSet)


def in_full(job: Job):
    """Return what tells states apart by every zone, person and run: all ages, but for those that are long over."""
    longest = timedelta(minutes=61)

    def key(state: BayState, at: datetime) -> Hashable:
        (its,) = state.jobs.values()
        return tuple(
            (
                tuple(run.step for run in z.rungs),
                (z.running.step, z.running.by) if z.running else None,
                z.covered is not None,
                z.without,
                tuple(
                    (step, *(min(at - run.finished_at, longest) for run in runs if run and run.finished_at))
                    for step in (StepId(s.id) for s in job.recipe_of(zone).step)
                    for runs in [(z.first_finished(step), z.last_finished(step))]
                ),
            )
            for zone, z in its.zones.items()
        )

    return key


@pytest.mark.parametrize(
    ("name", "people"),
    [
        ("two panels apart, a coat before the polish", 1),
        ("two panels apart, a coat before the polish", 2),
        ("panel whose buff has no way back", 2),
    ],
)
def test_dead_ends_are_those_that_are_found_state_by_state_with_nothing_left_out(name: str, people: int):
    """Without covers and sets closed early two panels apart close each other's way; a panel alone has none to close.

    The plain search knows no swapped zones or people, no age that is asked for no more, and no sets of ages.
    """
    job = small_job(name, people)
    assert_same_dead_ends(job, one_by_one(job, in_full(job), frees_nothing), apart=name.startswith("two panels apart"))


@pytest.mark.slow
@pytest.mark.parametrize("people", [1, 2])
def test_dead_ends_of_two_panes_are_those_that_are_found_state_by_state(people: int):
    job = small_job("two panes, short", people)
    assert_same_dead_ends(job, one_by_one(job, Regions(opened(job)).key, frees_nothing), apart=True)


def assert_same_dead_ends(job: Job, plain: OneByOne, apart: bool) -> None:
    states = EveryState(job, frees_nothing)
    states.visit_all()
    dead = DeadEnds(states).dead
    number = [states.number_of(states.known.seen(state)) for state, _ in plain.states]
    met = set(number)
    print(f"\n{len(number)} states, {len(met)} of {len(states.situations)} situations, {len(dead)} dead")
    assert None not in met
    assert {number[n] for n in plain.dead} == dead & met
    assert bool(plain.dead) == bool(dead) == apart


def by_ticks(states: EveryState, tick: int) -> set[int]:
    """Return the situations that are reached where touches are made at whole ticks only, ms."""
    left: deque[tuple[int, Point]] = deque([(0, ())])
    known = {left[0]}
    while left:
        number, ages = left.popleft()
        following = [(t.target, t.taken(ages)) for t in states.touches_at(number, ages)]
        for target, then in [*following, (number, tuple(age + tick for age in ages))]:
            caps = states.situations[target].caps
            point = target, tuple(min(age, cap) for age, cap in zip(then, caps, strict=True))
            if point not in known:
                known.add(point)
                left.append(point)
    return {number for number, _ in known}


def test_sets_of_ages_reach_the_situations_that_ticks_reach():
    states = EveryState(car({"quick-pane": ["windscreen", "rear-screen"]}, 1))
    states.visit_all()
    assert by_ticks(states, 20_000) == set(range(len(states.situations)))
