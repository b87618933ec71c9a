"""Random walks of accepted touches through whole cars, and what the planner makes of where each of them ends.

Nobody in a walk goes by a plan: people begin whatever comes next somewhere, cover, leave, come back hours later. What
the gate refuses does not happen.

``python packaging/liveness.py walks [--count N] [--first SEED] [--seconds S]``
"""

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from random import Random
from time import perf_counter

from bayapp.files.library import Library
from bayapp.job import BayState, FinishStep, Job, Start, Verdict, fold, gate
from bayapp.job.model.ids import THE_CAR, Person, StepId, ZoneId
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import CloseSet, Cover, ReadAir, Request, SetAside, TakeUp, Uncover
from bayapp.job.state.state import JobState
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.paths import resource
from bayapp.planning.circles import circles
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.relaxation import Relaxed, relaxed
from bayapp.planning.remedies import Touch, Trouble, request_of
from bayapp.planning.ways_out import ways_out
from bayapp.planning.work import plan_work
from tests.liveness.moves import places
from tests.planning.support.replays import GOOD_AIR, READ_EVERY, one_by_one, replay

FILES = tuple(sorted(path.name for path in resource("jobs").glob("*.toml")))
CREWS = (("Ash",), ("Ash", "Bo"), ("Ash", "Bo", "Cy"))
PAUSES_MIN = (0.5, 2, 5, 15, 40, 130, 400, 900)
SEARCH_S = 5.0
TOLD_EVERY = 50
MOST_WAYS = 6
"""So many ways out are taken one after the other before a bay counts as stuck."""


@dataclass
class Walk:
    """A car, and what has happened to it so far.

    Attributes:
        asked: what was asked for and accepted, with its instant.
    """

    state: BayState
    at: datetime
    random: Random
    asked: list[tuple[datetime, Request]] = field(default_factory=list)

    @property
    def car(self) -> JobState:
        """The only car in the bay."""
        (car,) = self.state.jobs.values()
        return car

    def ask(self, request: Request) -> Verdict:
        """Ask the gate now; what it accepts has happened."""
        if isinstance(request, Start) and (self.state.air is None or self.at - self.state.air.at > READ_EVERY):
            self.ask(GOOD_AIR)
        verdict = gate(self.state, request, self.at)
        if verdict.accepted:
            self.state = fold(verdict.events, self.state)
            self.asked.append((self.at, request))
        return verdict


def walk(seed: int, most: int = 70) -> Walk:
    """Return a car after at most so many touches, all of them by the seed; at even seeds without work on the whole car.

    Zones then go by themselves, and so few touches lead them further.
    """
    random = Random(seed)
    job = Library().load_job(resource("jobs", random.choice(FILES)), "car")
    if seed % 2 == 0:
        said = {name: getattr(job, name) for name in Job.model_fields}
        job = Job.model_validate({**said, "blocks": [b for b in job.blocks if THE_CAR not in b.zones]})
    job = job.model_copy(update={"crew": tuple(map(Person, random.choice(CREWS)))})
    going = Walk(fold([JobOpened(at=job.start, job=job.id, opened=job)]), job.start, random)
    for _ in range(random.randint(1, most)):
        random.choices(DOINGS, WEIGHTS)[0](going)
    return going


def _begins(going: Walk) -> None:
    """Somebody begins what comes next on a zone, or on all zones of its work block where the same comes next."""
    person = _free(going)
    idle = [zone for zone, z in going.car.zones.items() if not z.running and zone not in going.car.aside]
    if person is None or not idle:
        return
    zone = going.random.choice(idle)
    ahead = list(places(ladder_position(going.car, zone, going.at)))
    if not ahead:
        return
    step = StepId(going.car.job.recipe_of(zone).step[going.random.choice(ahead)].id)
    zones = _with_others(going, zone, step) if going.random.random() < 0.5 else (zone,)
    request = Start(going.car.job.id, zones, step, person)
    refused = going.ask(request).refusals
    right = max((r.right_from for r in refused if r.right_from), default=None)
    if right and right - going.at < timedelta(hours=3) and going.random.random() < 0.5:
        going.at = max(going.at, right)
        going.ask(request)


def _with_others(going: Walk, zone: ZoneId, step: StepId) -> tuple[ZoneId, ...]:
    recipe = going.car.job.recipe_of(zone)
    place = recipe.position(step)
    others = [z for z in going.car.job.block_of[zone].zones if z not in going.car.aside]
    idle = [z for z in others if not going.car.zones[z].running]
    return tuple(z for z in idle if place in places(ladder_position(going.car, z, going.at)))


def _free(going: Walk) -> Person | None:
    busy = {z.running.by for z in going.car.zones.values() if z.running}
    free = [person for person in going.car.job.crew if person not in busy]
    return going.random.choice(free) if free else None


def _ends(going: Walk) -> None:
    """A step ends, sooner or later than its recipe expects."""
    running = [(zone, z.running) for zone, z in going.car.zones.items() if z.running]
    if not running:
        return
    zone, run = going.random.choice(running)
    minutes = going.car.job.recipe_of(zone).named(run.step).minutes * going.random.uniform(0.5, 2)
    going.at = max(going.at, to_millisecond(run.started_at + timedelta(minutes=minutes)))
    touched = tuple(z for z, r in running if r.touch == run.touch and run.touch) or (zone,)
    going.ask(FinishStep(going.car.job.id, touched, run.step, run.by))


def _pauses(going: Walk) -> None:
    going.at += timedelta(minutes=going.random.choice(PAUSES_MIN))


def _does_something_else(going: Walk) -> None:
    """Somebody covers or uncovers a coat, closes a set early, leaves a zone for another day or takes it up again."""
    name, zone = going.car.job.id, going.random.choice(list(going.car.zones))
    going.ask(
        going.random.choice(
            (
                Cover(name, (zone,)),
                Uncover(name, (zone,)),
                CloseSet(name, (zone,)),
                SetAside(name, (zone,), "another day"),
                TakeUp(name, tuple(going.car.aside) or (zone,)),
            )
        )
    )


DOINGS: tuple[Callable[[Walk], None], ...] = (_begins, _ends, _pauses, _does_something_else)
WEIGHTS = (8, 6, 1, 1)


@dataclass(frozen=True)
class Outcome:
    """What the planner makes of a bay.

    Attributes:
        kind: "whole", "rework" where something is lost, "searched" where no first plan was found; else what went wrong.
        words: what there is to say about it.
        taken: the ways out that were taken.
    """

    kind: str
    words: str = ""
    taken: tuple[Touch, ...] = ()

    @property
    def good(self) -> bool:
        """Whether the work was carried on to its end as planned, and every touch of it accepted."""
        return self.kind in ("whole", "rework", "searched")


def judged(state: BayState, at: datetime, shop: Shop | None = None) -> Outcome:
    """Plan what is left, take the cheapest way out where no plan holds it all, and carry it on through the gate."""
    shop = shop or Shop()
    taken: list[Touch] = []
    while (settled := relaxed(situation := Situation(state, at, shop))) and _lacks(settled):
        trouble = Trouble(situation, settled, circles(settled.work))
        ways = ways_out(trouble, None, lambda: False) if len(taken) < MOST_WAYS else ()
        helping = [found for found in ways if found.way.once or request_of(Touch.of(found.way), None)]
        if not helping:
            return replace(_searched(state, at, shop, settled), taken=tuple(taken))
        touch = Touch.of(helping[0].way)
        if touch.once:
            state, at = _coated(state, touch, helping[0].then.work.at)
        request = request_of(replace(touch, once=None), None)
        assert request
        verdict = gate(state, request, at)
        if not verdict.accepted:
            return Outcome("way out refused", f"{touch}: {verdict.refusals}", tuple(taken))
        state, taken = fold(verdict.events, state), [*taken, touch]
    steps = planned_steps(settled.work, settled.plan, people_of(settled.work, settled.plan, Ways(settled.work, state)))
    kind = "rework" if settled.losses or settled.overtime else "whole"
    return replace(_carried_on(state, at, steps, kind), taken=tuple(taken))


def _coated(state: BayState, touch: Touch, at: datetime) -> tuple[BayState, datetime]:
    """Return the bay once the coat under way is done that is to be covered then, and when that is."""
    runs = {zone: state.jobs[touch.job].zones[zone].running for zone in touch.zones}
    for zone, run in runs.items():
        if run:
            verdict = gate(state, FinishStep(touch.job, (zone,), run.step, run.by), at)
            assert verdict.accepted, verdict.refusals
            state = fold(verdict.events, state)
    return state, at


def _searched(state: BayState, at: datetime, shop: Shop, settled: Relaxed) -> Outcome:
    """Search where no way out helps; only what has no first plan can have another one."""
    lacks = _lacks(settled)
    order = plan_work(state, at, shop, Effort(SEARCH_S, workers=1)) if lacks == "no plan" else None
    if order is None or not order.steps or order.left_out:
        return Outcome(lacks, _told(state, at, settled))
    return _carried_on(state, at, order.steps, "searched")


def _lacks(settled: Relaxed) -> str:
    """Return what a plan lacks: steps, zones or all of it; empty where it leads everything to its end."""
    if settled.work.problem.tasks and not settled.plan.starts_s:
        return "no plan"
    if settled.work.held:
        return "held"
    return "left out" if settled.work.left_out else ""


def _told(state: BayState, at: datetime, settled: Relaxed) -> str:
    rungs = {r.key[:3]: r for r in settled.work.rung_of.values()}
    left = [f"{z} {s}" for _, z, s, _ in settled.work.left_out] or [f"{z} {s}" for _, z, s in rungs]
    return f"held {[z for _, z in settled.work.held]}, left {left[:6]} of {len(left)}, at {at:%d %H:%M}"


def _carried_on(state: BayState, at: datetime, steps: Sequence[PlannedStep], kind: str) -> Outcome:
    air = state.air
    same = ReadAir(air.air_c, air.rh_percent, air.surface_c) if air else GOOD_AIR
    end, refused = replay(state, one_by_one(steps), air=same)
    if refused:
        return Outcome("refused", refused[0])
    if undone := _undone(end, at):
        return Outcome("not done", f"{undone}")
    return Outcome(kind)


def _undone(state: BayState, at: datetime) -> list[tuple[str, ZoneId]]:
    """Return the zones that are not finished and not set aside."""
    late = state.last_at or at
    return [
        (job.job.id, zone)
        for job in state.open_jobs
        for zone, stands in job.zones.items()
        if zone not in job.aside and (stands.running or ladder_position(job, zone, late).next_places)
    ]


def main(words: Sequence[str]) -> int:
    """Walk, print how many walks ended how, and each that did not end well; return 1 where there is one."""
    parser = argparse.ArgumentParser(prog="packaging/liveness.py walks", description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=1, help="the first seed")
    parser.add_argument("--most", type=int, default=70, help="touches in a walk")
    parser.add_argument("--seconds", type=float, default=float("inf"), help="stop after so long")
    options = parser.parse_args(words)
    kinds: Counter[str] = Counter()
    began = perf_counter()
    for seed in range(options.first, options.first + options.count):
        going = walk(seed, options.most)
        outcome = judged(going.state, going.at)
        kinds[f"{outcome.kind} after a way out" if outcome.taken else outcome.kind] += 1
        if not outcome.good:
            print(f"seed {seed}, {going.car.job.title}: {outcome.kind}: {outcome.words} {outcome.taken}", flush=True)
        if kinds.total() % TOLD_EVERY == 0:
            print(f"{kinds.total()} walks so far: {dict(kinds)}", flush=True)
        if perf_counter() - began > options.seconds:
            break
    print(f"{kinds.total()} walks, {perf_counter() - began:.0f} s: {dict(kinds)}")
    return int(not all(Outcome(kind.removesuffix(" after a way out")).good for kind in kinds))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
