"""The shipped recipes, products and vehicle forms, and a car played through the gate."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

from bayapp.job import BayState, Job, JobFile, Product, Recipe, VehicleForm, Verdict, ZoneClock, apply, gate, resolve
from bayapp.job import zone_clock as clock_of
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import FinishStep, ReadAir, Request, Start
from bayapp.paths import resource

START = datetime(2026, 11, 25, 8, tzinfo=UTC)
MS = timedelta(milliseconds=1)
CAR = JobId("car")
ASH = Person("Ash")


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def _tables(kind: str) -> dict[str, dict[str, Any]]:
    files = sorted(resource(kind).glob("*.toml"))
    return {path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in files}


@cache
def recipes() -> dict[str, Recipe]:
    return {stem: Recipe.model_validate(table) for stem, table in _tables("recipes").items()}


@cache
def products() -> dict[str, Product]:
    return {stem: Product.model_validate(table) for stem, table in _tables("products").items()}


@cache
def vehicle_named(name: str) -> VehicleForm:
    table = tomllib.loads(resource("vehicles", f"{name}.toml").read_text(encoding="utf-8"))
    return VehicleForm.model_validate(table)


def job_of(*work: tuple[Sequence[str], str], vehicle: str = "estate") -> Job:
    """Return a job on a shipped vehicle form with one work block for each (zones, recipe)."""
    blocks = [{"zones": list(zones), "recipe": recipe} for zones, recipe in work]
    written = JobFile.model_validate(
        {"format": "bayapp-job/1", "title": "Test car", "vehicle": vehicle, "start": START, "work": blocks}
    )
    return resolve(written, CAR, vehicle_named(vehicle), recipes().__getitem__, products().get)


@dataclass
class Car:
    """A car in the bay and the hands on it; ``now`` only moves forward."""

    job: Job
    state: BayState = field(init=False)
    now: datetime = START
    finished: dict[ZoneId, datetime] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.state = apply(BayState(), JobOpened(at=START, job=CAR, opened=self.job))

    def ask(self, request: Request, at: datetime | None = None) -> Verdict:
        """Judge without recording."""
        return gate(self.state, request, at or self.now)

    def may_start(self, zone: str, step: str, at: datetime) -> Verdict:
        return self.ask(Start(CAR, (ZoneId(zone),), StepId(step), ASH), at)

    def put(self, request: Request) -> None:
        """Record a request that has to be accepted, without even a question, now."""
        verdict = self.ask(request)
        assert verdict.accepted, (self.now, request, verdict.refusal)
        assert not verdict.asks, (self.now, request, verdict.asks)
        for event in verdict.events:
            self.state = apply(self.state, event)

    def read_air(self) -> None:
        self.put(ReadAir(20.0, 50.0, 19.0))

    def clock(self, zone: str, at: datetime | None = None) -> ZoneClock:
        return clock_of(self.state.jobs[CAR], ZoneId(zone), at or self.now)

    def do(self, zone: str, *steps: str) -> None:
        """Carry out steps one after the other, each for its own minutes; waits for a clock that has not opened."""
        for step in steps:
            self.now = max(self.now, self.clock(zone).opens_at or self.now)
            self._breathe()
            zones, name = (ZoneId(zone),), StepId(step)
            self.put(Start(CAR, zones, name, ASH))
            self.now += minutes(self.job.recipe_of(zones[0]).named(name).minutes)
            self.put(FinishStep(CAR, zones, name, ASH))
            self.finished[zones[0]] = self.now

    def upto(self, zone: str, step: str, after: str | None = None) -> None:
        """Carry out every step before this one, in recipe order, from the first or from the one behind ``after``."""
        recipe = self.job.recipe_of(ZoneId(zone))
        first = recipe.position(StepId(after)) + 1 if after else 0
        self.do(zone, *(s.id for s in recipe.step[first : recipe.position(StepId(step))]))

    def _breathe(self) -> None:
        air = self.state.air
        if air is None or self.now - air.at > minutes(25):
            self.read_air()
