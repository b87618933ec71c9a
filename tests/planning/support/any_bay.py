"""Bays of every kind, as far into their day as the gate lets them get, for properties."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any

from hypothesis import strategies as st

from bayapp.job import BayState, Job, JobFile, Product, Recipe, VehicleForm, fold, gate, resolve
from bayapp.job.model.healing import unhealed
from bayapp.job.model.ids import JobId, Person, PlaceId, StepId, StepKind, ZoneId
from bayapp.job.model.mark import Mark, MarkKind
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import (
    AnswerSplash,
    CloseSet,
    Cover,
    FinishStep,
    LiftMark,
    MoveCar,
    ReadAir,
    Request,
    SetAside,
    SetMark,
    SetUpPlaces,
    Start,
    TakeUp,
    Uncover,
)
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from tests.job.builders import START

ZONES = ("pane", "screen", "rim", "cap", "roof")
SETS = {"glass": ("pane", "screen"), "metal": ("rim", "cap"), "all": ("glass", "metal", "roof")}
BEFORE = ("decontaminate", "polish", "wipe", "mask", "coat")
AFTER = ("coat", "level", "buff", "clean", "coat", "level", "buff", "polish", "decontaminate")
KINDS = sorted({*BEFORE, *AFTER})
PEOPLE = ("Ash", "Bo", "Cy", "Di")


def invented_form() -> VehicleForm:
    zones = [
        {"id": z, "name": z, "surface": "paint", "area_m2": 1.0, "neighbours": [ZONES[(i + 1) % len(ZONES)]]}
        for i, z in enumerate(ZONES)
    ]
    entries = {"format": "bayapp-vehicle/1", "name": "box", "title": "Box", "drawing": "box.svg", "zone": zones}
    return VehicleForm.model_validate({**entries, "sets": SETS})


FORM = invented_form()


@st.composite
def bays(draw: st.DrawFn) -> Situation:
    """One or two cars, nobody named or up to four people, some work done, some under way, some of it gone wrong.

    The bays have names or not, with a curtain between them or not, and a car may stand outside.
    """
    people = PEOPLE[: draw(st.integers(0, 4))]
    jobs = [draw(_jobs(f"car-{n}", people)) for n in range(draw(st.sampled_from([1, 1, 2])))]
    state = fold(JobOpened(at=START, job=j.id, opened=j) for j in jobs)
    state = draw(_some_work(draw(_placed(state))))
    later = draw(st.sampled_from([0, 0, 1, 500, 90_000, 900_000, 5_000_000]))
    return Situation(state, (state.last_at or START) + timedelta(milliseconds=later), draw(_shops(people)))


@st.composite
def marked_bays(draw: st.DrawFn) -> Situation:
    """Bays as above in which up to four more zones have just been marked, whatever is done on them."""
    bay = draw(bays())
    state = bay.state
    for _ in range(draw(st.integers(1, 4))):
        request = draw(st.sampled_from(list(_markings(state))))
        state = fold(gate(state, request, bay.at).events, state)
    return replace(bay, state=state)


def _markings(state: BayState) -> Iterator[Request]:
    """What a zone may be marked as; a repaint hardened long ago, hardens at the midnight to come, or in three weeks."""
    for job in state.open_jobs:
        for zone in job.zones:
            for kind in (k for k in MarkKind if k is not MarkKind.REPAINTED):
                yield SetMark(job.job.id, (zone,), Mark(kind=kind))
            for days in (60, 29, 9):
                painted = START.date() - timedelta(days=days)
                yield SetMark(job.job.id, (zone,), Mark(kind=MarkKind.REPAINTED, date=painted))


@st.composite
def _placed(draw: st.DrawFn, state: BayState) -> BayState:
    curtain = draw(st.sampled_from([None, None, False, True]))
    if curtain is None:
        return state
    bays = (Bay(id=PlaceId("bay-1"), name="Front", curtain=curtain), Bay(id=PlaceId("bay-2"), name="Back"))
    asked: list[Request] = [SetUpPlaces(bays), ReadAir(20.0, 50.0, 19.0, place=OUTSIDE)]
    for job in state.open_jobs:
        place = draw(st.sampled_from([None, "bay-1", "bay-1", "bay-2", OUTSIDE]))
        asked += [MoveCar(job.job.id, PlaceId(place))] if place else []
    for request in asked:
        state = fold(gate(state, request, START).events, state)
    return state


@st.composite
def _jobs(draw: st.DrawFn, name: str, people: tuple[str, ...]) -> Job:
    zones = draw(st.permutations(ZONES))[: draw(st.integers(1, len(ZONES)))]
    cuts = sorted(draw(st.sets(st.integers(1, len(ZONES) - 1), max_size=2)))
    blocks = [b for b in (zones[i:j] for i, j in zip([0, *cuts], [*cuts, None], strict=True)) if b]
    recipes = {f"ladder-{n}": draw(_recipes()) for n in range(len(blocks))}
    crew = people if draw(st.booleans()) else people[: max(1, len(people) - 1)]
    work = [{"zones": b, "recipe": f"ladder-{n}"} for n, b in enumerate(blocks)]
    entries = {"format": "bayapp-job/1", "title": name, "vehicle": "box", "crew": crew, "start": START, "work": work}
    recipes = {n: _healing(r) for n, r in recipes.items()}
    for made in (recipes, {n: _inspected(r) for n, r in recipes.items()}):
        try:
            return _job(name, {**entries, "recipe": made})
        except ValueError:  # a set that what is done again does not move; then, waits in a circle, or for no step
            continue
    return _job(name, {**entries, "recipe": {n: _healing(_alone(r)) for n, r in recipes.items()}})


def _job(name: str, entries: dict[str, Any]) -> Job:
    recipes: dict[str, Recipe] = {}
    products: dict[str, Product] = {}
    return resolve(JobFile.model_validate(entries), JobId(name), FORM, recipes.__getitem__, products.get)


def _healing(recipe: dict[str, Any]) -> dict[str, Any]:
    """The recipe with a look by a person for each missed moment that its own ladder could never make good."""
    while wrong := unhealed(Recipe.model_validate({"name": "any", **recipe})):
        steps = list(recipe["step"])
        steps[wrong[0]] = {**steps[wrong[0]], "wait": {**steps[wrong[0]]["wait"], "lapse": "inspect"}}
        recipe = {**recipe, "step": steps}
    return recipe


def _inspected(recipe: dict[str, Any]) -> dict[str, Any]:
    """The recipe with a look by a person for each missed moment of a set."""
    waits = [s["wait"] or {} for s in recipe["step"]]
    of_set = [wait.get("of") not in (None, "block") and "max" in wait for wait in waits]
    steps = [
        {**s, "wait": {**s["wait"], "lapse": "inspect"}} if look else s
        for s, look in zip(recipe["step"], of_set, strict=True)
    ]
    return {**recipe, "step": steps}


def _alone(recipe: dict[str, Any]) -> dict[str, Any]:
    """The recipe without waits for other zones."""
    steps = [{**s, "wait": None if (s["wait"] or {}).get("of") else s["wait"]} for s in recipe["step"]]
    return {**recipe, "step": steps}


@st.composite
def _recipes(draw: st.DrawFn) -> dict[str, Any]:
    count = draw(st.integers(1, 6))
    swap = draw(st.sampled_from([None, None, (0, 2), (1, 3), (2, 5)]))
    steps: list[dict[str, Any]] = []
    for place in range(count):
        steps.append(draw(_steps(place, AFTER if any(s["kind"] == "coat" for s in steps) else BEFORE)))
    if swap:
        for step in steps[swap[0] : swap[1]]:
            step["any_order"] = "these"
    suits = draw(st.sampled_from([(), (), ("film",)]))
    return {"step": steps, "suits": suits, "finish": {"keep_dry_hours": draw(st.sampled_from([0, 0, 0.05, 0.5, 2]))}}


@st.composite
def _steps(draw: st.DrawFn, place: int, kinds: tuple[str, ...]) -> dict[str, Any]:
    return {
        "id": f"s{place}",
        "kind": draw(st.sampled_from(kinds)),
        "minutes": draw(st.sampled_from([0.01, 0.5, 1, 2, 3.3, 5])),
        "tool": draw(st.sampled_from([None, None, None, "polisher"])),
        "wet": draw(st.sampled_from([None] * 9 + [False, True])),
        "dusty": draw(st.sampled_from([None] * 9 + [False, True])),
        "wait": draw(_waits(place)) if place and draw(st.booleans()) else None,
    }


@st.composite
def _waits(draw: st.DrawFn, place: int) -> dict[str, Any]:
    least = draw(st.sampled_from([0, 0, 0.0173, 1, 2.5, 7]))
    room = draw(st.sampled_from([None, None, None, 60, 15, 5, 2.2, 1, 0]))
    of = draw(st.sampled_from([None, None, None, "block", "glass", "metal", "all"]))
    after = draw(st.none() | st.integers(0, place - 1).map("s{}".format)) if of != "all" else None
    wait: dict[str, Any] = {"min": least, "of": of, "after": after}
    if room is not None:
        wait |= {"max": least + room, "max_from": draw(st.sampled_from(["end", "end", "start"]))}
        wait |= {"lapse": draw(st.sampled_from([None, "wipe", "polish", "repeat", "inspect"]))}
    return wait


@st.composite
def _shops(draw: st.DrawFn, people: tuple[str, ...]) -> Shop:
    day = (time(8), time(12)), (time(13), time(17, 30))
    hours = draw(st.sampled_from([(), (), (), day, ((time(7), time(8, 20)), (time(8, 45), time.max))]))
    cannot = {
        Person(p): draw(st.frozensets(st.sampled_from([StepKind(k) for k in KINDS]), min_size=1, max_size=3))
        for p in people
        if draw(st.integers(0, 5)) == 0
    }
    return Shop(hours, cannot)


@st.composite
def _some_work(draw: st.DrawFn, state: BayState) -> BayState:
    now = START
    for _ in range(draw(st.integers(0, 14))):
        now += timedelta(milliseconds=draw(st.sampled_from([0, 1, 777, 30_000, 60_000, 130_000, 400_000])))
        asked = list(_sensible(state, now)) if draw(st.integers(0, 5)) else list(_odd(state))
        if not asked:
            continue
        request = draw(st.sampled_from(asked))
        for question in (ReadAir(20.0, 50.0, 19.0), request):
            state = fold(gate(state, question, now).events, state)
    return state


def _sensible(state: BayState, now: datetime) -> Iterator[Request]:
    """What comes next on each zone, by itself and on its whole block; what runs, its end; a cover where one may be."""
    for job in state.open_jobs:
        for zone, stands in job.zones.items():
            yield from (ask for ask in _aids(job.job.id, zone) if gate(state, ask, now).accepted)
            people = job.job.crew or (None,)
            if stands.running:
                yield FinishStep(job.job.id, (zone,), stands.running.step, stands.running.by)
                continue
            recipe = job.job.recipe_of(zone)
            for place in ladder_position(job, zone, now).next_places:
                for who in people:
                    step = StepId(recipe.step[place].id)
                    yield Start(job.job.id, (zone,), step, who)
                    yield Start(job.job.id, job.job.block_of[zone].zones, step, who)


def _aids(job: JobId, zone: ZoneId) -> Iterator[Request]:
    yield Cover(job, (zone,))
    yield CloseSet(job, (zone,))


def _odd(state: BayState) -> Iterator[Request]:
    """Zones set aside, taken up, covered, marked, worked by themselves, answers on splash, steps against every rule."""
    yield from _markings(state)
    for job in state.open_jobs:
        for zone in job.zones:
            yield SetAside(job.job.id, (ZoneId(zone),), "not today")
            yield TakeUp(job.job.id, (ZoneId(zone),))
            yield from (ask(job.job.id, (ZoneId(zone),)) for ask in (Cover, Uncover, CloseSet))
            yield from (LiftMark(job.job.id, (zone,), mark.kind) for mark in job.marks.get(zone, ()))
            for other in state.open_jobs:
                yield AnswerSplash(other.job.id, job.job.id, (ZoneId(zone),), out_of_reach=zone in ZONES[:3])
            for step in job.job.recipe_of(zone).step:
                for who in (None, *job.job.crew[:1]):
                    yield Start(job.job.id, (ZoneId(zone),), StepId(step.id), who, "told to")
