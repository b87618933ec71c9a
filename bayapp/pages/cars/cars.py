"""Which cars are in the bay and which job files lie ready."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bayapp.job import BayState, Job, JobState
from bayapp.job.model.ids import CarColour, JobId
from bayapp.job.model.place import OUTSIDE
from bayapp.pages.cars.places import where_text
from bayapp.text.language import _, ngettext
from bayapp.text.readable import visible


@dataclass(frozen=True, slots=True)
class CarEntry:
    """A car in the bay, to be shown on the board; ``group`` is the heading that it stands under."""

    job: JobId
    title: str
    detail: str
    colour: CarColour | None = None
    group: str = ""


@dataclass(frozen=True, slots=True)
class ReadyJob:
    """A job file that can be opened; ``problem`` says what is wrong with it, if anything."""

    path: Path
    title: str
    detail: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class CarsView:
    """The page of cars and jobs, shown when no car is in the bay."""

    inside: tuple[CarEntry, ...]
    ready: tuple[ReadyJob, ...]


def cars(state: BayState, ready: Sequence[tuple[Path, Job | str]]) -> CarsView:
    """Return the cars inside and the job files; one that cannot be read comes with its problem."""
    inside = tuple(
        CarEntry(j.job.id, j.job.name, _inside_text(state, j.job), j.job.colour, _group(j)) for j in state.open_jobs
    )
    inside = tuple(sorted(inside, key=lambda car: car.group == outside_title()))
    return CarsView(inside, tuple(_ready(path, job) for path, job in ready if not _inside(state, job)))


def inside_title() -> str:
    """Return the heading of the cars in the bays."""
    return _("In the bays")


def outside_title() -> str:
    """Return the heading of the cars that were moved out."""
    return _("Outside")


def _group(car: JobState) -> str:
    return outside_title() if car.place == OUTSIDE else inside_title()


def _inside(state: BayState, job: Job | str) -> bool:
    return isinstance(job, Job) and job.id in state.jobs


def _inside_text(state: BayState, job: Job) -> str:
    """Return where a car stands, what it is and how many of its zones are worked."""
    where = where_text(state, job.id)
    return f"{where}: {work_text(job)}" if where else work_text(job)


def _ready(path: Path, job: Job | str) -> ReadyJob:
    if isinstance(job, str):
        return ReadyJob(path, visible(path.name), _("cannot be opened: touch for why"), job)
    return ReadyJob(path, job.title, work_text(job))


def work_text(job: Job) -> str:
    """Return what a car is and how many of its zones are worked."""
    zones = len(job.block_of)
    zone_count = ngettext("{n} zone", "{n} zones", zones).format(n=zones)
    return f"{job.vehicle.title}, {zone_count}"
