"""Short names for the instants, recipes, jobs and taps of the tests in this room."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from functools import reduce
from typing import Any

from bayapp.job import BayState, FinishStep, Job, Recipe, Start, Verdict, WorkBlock, apply, gate
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.mark import Mark, MarkKind
from bayapp.job.model.product import Product
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.job.state.events import EventBase, JobOpened
from bayapp.job.state.requests import (
    CloseJob,
    CloseSet,
    CorrectTime,
    Cover,
    LiftMark,
    PassZones,
    ReadAir,
    ReopenJob,
    ReportWet,
    Request,
    SendBack,
    SetAside,
    SetMark,
    TakeUp,
    Uncover,
    Undo,
    WriteNote,
)

START = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
ZONES = ("windscreen", "roof", "bonnet", "left-door", "left-rim", "right-rim")
SETS = {"rims": ("left-rim", "right-rim"), "panels": ("roof", "bonnet", "left-door"), "all": ("rims", "panels")}
MS = 1 / 60_000
"""One millisecond in minutes."""


def at(minutes: float) -> datetime:
    """So many minutes after the job was opened, to the millisecond."""
    return START + timedelta(milliseconds=round(minutes * 60_000))


def step(name: str, kind: str | None = None, wait: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    """A step whose kind is the first word of its id unless said."""
    return {"id": name, "kind": kind or name.partition("-")[0], "wait": wait, **more}


def recipe(*steps: dict[str, Any], name: str = "ladder", finish: dict[str, Any] | None = None, **more: Any) -> Recipe:
    return Recipe.model_validate({"name": name, "step": steps, "finish": finish or {}, **more})


def form(zones: Iterable[str] = ZONES, sets: dict[str, tuple[str, ...]] | None = None) -> VehicleForm:
    return VehicleForm(
        format="bayapp-vehicle/1",
        name="test-car",
        title="Test car",
        drawing="test-car.svg",
        zone=tuple(Zone(id=z, name=z.replace("-", " "), surface="paint", area_m2=1) for z in zones),
        sets=SETS if sets is None else sets,
    )


def job(
    *blocks: tuple[Iterable[str], Recipe],
    name: str = "car",
    crew: tuple[str, ...] = ("Ash", "Bo"),
    products: Iterable[Product] = (),
    vehicle: VehicleForm | None = None,
) -> Job:
    return Job.model_validate(
        {
            "id": name,
            "title": "Green car",
            "crew": crew,
            "start": START,
            "vehicle": vehicle or form(),
            "blocks": [WorkBlock.model_validate({"zones": tuple(z), "recipe": r}) for z, r in blocks],
            "products": {p.name: p for p in products},
        }
    )


class Shop:
    """A bay that judges, records and remembers; times are minutes after eight in the morning.

    What it returns is typed loosely, so that a test may reach for what it knows to be there.
    """

    def __init__(self, *jobs: Job) -> None:
        self.events: list[EventBase] = [JobOpened(at=START, job=j.id, opened=j) for j in jobs]
        self.state: Any = reduce(apply, self.events, BayState())

    def ask(self, request: Request, minutes: float) -> Any:
        """Judge without recording."""
        return gate(self.state, request, at(minutes))

    def do(self, request: Request, minutes: float) -> Any:
        """Judge and, when accepted, record."""
        verdict = self.ask(request, minutes)
        if verdict.accepted:
            self.events += verdict.events
            self.state = reduce(apply, verdict.events, self.state)
        return verdict

    def replayed(self) -> Any:
        """Return the state that all events add up to from the first one on."""
        return reduce(apply, self.events, BayState())

    def must(self, request: Request, minutes: float) -> Any:
        """Do something that the test takes for granted."""
        verdict = self.do(request, minutes)
        assert verdict.accepted, verdict.refusals
        return verdict

    def work(self, zones: str, step: str, begin: float, end: float, by: str | None = "Ash", job: str = "car") -> None:
        """Carry a step out, from ``begin`` to ``end``."""
        self.must(start(zones, step, by, job), begin)
        self.must(finish(zones, step, by, job), end)


def start(zones: str, step: str, by: str | None = "Ash", job: str = "car", reason: str | None = None) -> Start:
    """Begin a step on the zones named with blanks between."""
    return Start(job, tuple(zones.split()), step, by, reason)  # type: ignore[arg-type]


def finish(zones: str, step: str, by: str | None = "Ash", job: str = "car", reason: str | None = None) -> FinishStep:
    return FinishStep(job, tuple(zones.split()), step, by, reason)  # type: ignore[arg-type]


def undo(zones: str, by: str | None = "Ash", job: str = "car") -> Undo:
    return Undo(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def set_aside(zones: str, reason: str = "not ordered", by: str | None = "Ash", job: str = "car") -> SetAside:
    """Take the zones named with blanks between out of the day's work."""
    return SetAside(job, tuple(zones.split()), reason, by)  # type: ignore[arg-type]


def send_back(zones: str, step: str, reason: str = "high spot", by: str | None = "Ash", job: str = "car") -> SendBack:
    """Work the zones named with blanks between again, from this step on."""
    return SendBack(job, tuple(zones.split()), step, reason, by)  # type: ignore[arg-type]


def got_wet(zones: str, since: float | None = None, by: str | None = "Ash", job: str = "car") -> ReportWet:
    """Say that the zones named with blanks between got wet, so many minutes after eight; else now."""
    return ReportWet(job, tuple(zones.split()), None if since is None else at(since), by)  # type: ignore[arg-type]


def seen_good(zones: str, by: str | None = "Ash", job: str = "car") -> PassZones:
    """Say that the zones named with blanks between were seen by light and are good."""
    return PassZones(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def take_up(zones: str, by: str | None = "Ash", job: str = "car") -> TakeUp:
    return TakeUp(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def cover(zones: str, by: str | None = "Ash", job: str = "car") -> Cover:
    return Cover(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def uncover(zones: str, by: str | None = "Ash", job: str = "car") -> Uncover:
    return Uncover(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def close_set(zones: str, by: str | None = "Ash", job: str = "car") -> CloseSet:
    """Let the zones named with blanks between go on by themselves."""
    return CloseSet(job, tuple(zones.split()), by)  # type: ignore[arg-type]


def mark(kind: str, zones: str, by: str | None = "Ash", job: str = "car", **more: Any) -> SetMark:
    """Mark the zones named with blanks between."""
    return SetMark(job, tuple(zones.split()), Mark.model_validate({"kind": kind, **more}), by)  # type: ignore[arg-type]


def lift(kind: str, zones: str, by: str | None = "Ash", job: str = "car", **which: Any) -> LiftMark:
    """Say that the zones named with blanks between are not marked so any more."""
    return LiftMark(job, tuple(zones.split()), MarkKind(kind), **which, by=by)  # type: ignore[arg-type]


def read_air(air_c: float = 20, rh: float = 50, surface_c: float | None = None) -> ReadAir:
    return ReadAir(air_c, rh, surface_c)


def correct(zone: str, step: str, edge: str, becomes: float, by: str | None = "Ash", job: str = "car") -> CorrectTime:
    """Give the latest run of a step another start or finish."""
    return CorrectTime(job, zone, step, edge, at(becomes), by)  # type: ignore[arg-type]


def close(job: str = "car") -> CloseJob:
    return CloseJob(JobId(job))


def reopen(job: str = "car") -> ReopenJob:
    return ReopenJob(JobId(job))


def note(text: str, *zones: str, job: str = "car") -> WriteNote:
    return WriteNote(JobId(job), text, tuple(ZoneId(zone) for zone in zones))


def code(verdict: Verdict) -> str | None:
    """The first refusal's code, or None when accepted."""
    return verdict.refusal.code.value if verdict.refusal else None


def why(verdict: Verdict) -> str | None:
    """The first refusal's reason, or None when accepted."""
    return verdict.refusal.why.value if verdict.refusal else None


def grounds(verdict: Verdict) -> Any:
    """What the first refusal knows, by the names that its reason gives."""
    assert verdict.refusal
    return verdict.refusal.grounds


def two_step(wait: dict[str, Any], **more: Any) -> Recipe:
    """A coat and a level with this wait between them."""
    return recipe(step("coat"), step("level", wait=wait), **more)
