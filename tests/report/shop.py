"""A shop for the tests of the day record: small jobs, and days worked through the gate."""

import tomllib
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from bayapp.job import (
    BayState,
    Event,
    Job,
    JobFile,
    Product,
    ReadAir,
    Recipe,
    Request,
    Start,
    VehicleForm,
    advise,
    clocks,
    fold,
    gate,
    resolve,
)
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import FinishStep
from bayapp.paths import resource
from bayapp.report.facts.content import day_record
from bayapp.report.facts.day_record import DayRecord, StepRecord, ZoneRecord

DAY = date(2026, 11, 25)
START = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
GREEN = JobId("green")

GLASS = {
    "name": "glass",
    "title": "Glass, two layers",
    "step": [
        {"id": "wipe", "kind": "wipe", "minutes": 2.0},
        {"id": "coat-1", "kind": "coat", "product": "glass-coat", "minutes": 2.0, "wait": {"max": 30.0}},
        {"id": "coat-2", "kind": "coat", "minutes": 2.0, "wait": {"min": 5.0, "max": 60.0, "lapse": "wipe"}},
        {"id": "buff", "kind": "buff", "minutes": 2.0, "wait": {"of": "glass", "min": 15.0, "max": 120.0}},
    ],
    "finish": {"keep_dry_hours": 12.0, "no_drive_hours": 1.0, "protects_months": 12},
}
RIM = {
    "name": "rim",
    "step": [
        {"id": "wipe", "kind": "wipe", "minutes": 2.0},
        {"id": "coat", "kind": "coat", "minutes": 2.0, "wait": {"max": 30.0, "lapse": "wipe"}},
        {"id": "level", "kind": "level", "wait": {"max": 6.0, "max_from": "start", "lapse": "repeat"}},
    ],
    "finish": {"keep_dry_hours": 24.0},
}


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def form(zones: Iterable[tuple[str, str]], sets: dict[str, list[str]]) -> VehicleForm:
    surfaces = [{"id": zone, "name": name, "surface": "paint", "area_m2": 1.0} for zone, name in zones]
    return VehicleForm.model_validate(
        {
            "format": "bayapp-vehicle/1",
            "name": "cart",
            "title": "Milk cart",
            "drawing": "cart.svg",
            "zone": surfaces,
            "sets": sets,
        }
    )


CART = form(
    [("screen", "windscreen"), ("pane", "rear pane"), ("rim-a", "left rim"), ("rim-b", "right rim")],
    {"glass": ["screen", "pane"], "rims": ["rim-a", "rim-b"]},
)


def small_job(crew: tuple[str, ...] = ("Ash", "Bo")) -> Job:
    written = {
        "format": "bayapp-job/1",
        "title": "Green cart",
        "vehicle": "cart",
        "crew": list(crew),
        "start": "2026-11-25T08:00:00Z",
        "work": [{"zones": ["glass"], "recipe": "glass"}, {"zones": ["rims"], "recipe": "rim"}],
        "recipe": {"glass": GLASS, "rim": RIM},
        "product": {"glass-coat": {"title": "Orrelin Glass Coat", "cautions": ["No flame near the solvent."]}},
    }
    return resolve(JobFile.model_validate(written), GREEN, CART, lambda name: Recipe.model_validate({}), lambda _: None)


def practice_job() -> Job:
    """The shipped practice car with the shipped form, recipes and products."""

    def read(*parts: str) -> dict:
        return tomllib.loads(resource(*parts).read_text(encoding="utf-8"))

    vehicle = VehicleForm.model_validate(read("vehicles", "estate.toml"))
    return resolve(
        JobFile.model_validate(read("practice", "practice-job.toml")),
        JobId("practice"),
        vehicle,
        lambda name: Recipe.model_validate(read("recipes", f"{name}.toml")),
        lambda name: Product.model_validate(read("products", f"{name}.toml")),
    )


class Shop:
    """A journal that grows through the gate; every request must be accepted."""

    def __init__(self, job: Job | None = None) -> None:
        self.job = job or small_job()
        self.events: list[Event] = [JobOpened(at=self.job.start, job=self.job.id, opened=self.job)]
        self.state: BayState = fold(self.events)
        self.busy: dict[Person, tuple[datetime, tuple[ZoneId, ...], StepId]] = {}

    def ask(self, request: Request, moment: datetime) -> None:
        verdict = gate(self.state, request, moment)
        assert verdict.accepted, verdict.refusal
        self.record(*verdict.events)

    def record(self, *events: Event) -> None:
        self.events.extend(events)
        self.state = fold(events, self.state)

    def work(
        self, zones: str, step: str, begin: float, end: float, by: str = "Ash", deviation: str | None = None
    ) -> None:
        """Start and finish a step; minutes after the job's start."""
        named = self.job.vehicle.zones_of(zones.split())
        who = Person(by) if by else None
        self.ask(Start(self.job.id, named, StepId(step), who, deviation), at(begin))
        self.ask(FinishStep(self.job.id, named, StepId(step), who), at(end))

    def air(self, minutes: float, air_c: float = 20.0, rh: float = 50.0, surface_c: float | None = None) -> None:
        self.ask(ReadAir(air_c, rh, surface_c, Person("Bo")), at(minutes))

    def record_of(self, minutes: float = 600, day: date = DAY) -> DayRecord:
        return day_record(self.events, self.job.id, day, at(minutes), BERLIN)

    def work_by_advice(self, begin: datetime, end: datetime, at_once: int = 3) -> None:
        """Let every free person do what the advice says, a few zones by one touch, until ``end``."""
        busy, now = self.busy, begin
        while now < end:
            for person, (until, zones, step) in list(busy.items()):
                if until <= now:
                    self.ask(FinishStep(self.job.id, zones, step, person), now)
                    del busy[person]
            for person in self.job.crew:
                offers = advise(self.state, clocks(self.state, now), person, now) if person not in busy else ()
                if offers:
                    busy[person] = self._begin(offers[0].zones[:at_once], offers[0].step, person, now)
            now += timedelta(seconds=30)

    def _begin(
        self, zones: tuple[ZoneId, ...], step: StepId, by: Person, now: datetime
    ) -> tuple[datetime, tuple[ZoneId, ...], StepId]:
        work = self.job.recipe_of(zones[0]).named(step)
        if work.kind in (StepKind.COAT, StepKind.LEVEL):
            zones = zones[:2]
        self.ask(Start(self.job.id, zones, step, by), now)
        return now + timedelta(minutes=work.minutes * len(zones) * 0.5), zones, step


def zone_of(record: DayRecord, zone: str) -> ZoneRecord:
    return next(z for z in record.zones if z.zone == zone)


def step_of(record: DayRecord, zone: str, step: str) -> StepRecord:
    return [s for s in zone_of(record, zone).steps if s.step == step][-1]
