"""All cars in the bay at a glance: number, name and most pressing clock of each."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bayapp.job import BayState, Job, JobState, ZoneClock
from bayapp.job.model.identity import called
from bayapp.job.model.ids import CarColour, JobId, Urgency, ZoneId
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.board.clock_column import Tile
from bayapp.pages.cars.places import where_text
from bayapp.pages.plan.promise import Promise
from bayapp.text.language import _

MOST = 6
"""So many cars are shown at once; more stand on the page of cars."""


@dataclass(frozen=True, slots=True)
class BayFace:
    """One car.

    Attributes:
        number: its place among the cars inside, from 1; spoken and touched by it.
        detail: the zone and step of the most pressing clock.
        label, digits, urgency, fraction: that clock; no digits if none runs.
        shown: whether its board is the one on the wall.
        promise: a few words if it will not be ready when promised; else empty.
        place: where it stands; empty where all stand in one bay without a name.
        colour, plate: its paint and its plate, where somebody has told them.
        cures: it was moved out to cure, so that nobody works on it.
    """

    job: JobId
    number: int
    title: str
    detail: str
    label: str
    digits: str
    urgency: Urgency
    fraction: float
    shown: bool
    promise: str = ""
    place: str = ""
    colour: CarColour | None = None
    plate: str = ""
    cures: bool = False

    @property
    def name(self) -> str:
        """Its number, title and plate, and a word about its promise if it needs one."""
        return self._promised(called(self.title, self.plate))

    @property
    def short_name(self) -> str:
        """The same where it wears its colour and has no room: the plate stands for the title where it is known."""
        name = self.plate or self.title
        return (
            _("{car}, {place}").format(car=self._promised(name), place=self.place)
            if self.cures
            else self._promised(name)
        )

    @property
    def number_and_name(self) -> str:
        """The same without a word about its promise, where that stands by itself."""
        return f"{self.number} {self.plate or self.title}"

    def _promised(self, name: str) -> str:
        car = f"{self.number} {name}"
        return _("{car}, {promise}").format(car=car, promise=self.promise) if self.promise else car


def bays(
    state: BayState,
    tiles: Sequence[Tile],
    clocks: Collection[ZoneClock],
    shown: JobId | None,
    promises: Mapping[JobId, Promise] | None = None,
) -> tuple[BayFace, ...]:
    """Return the cars in the order of arrival; ``tiles`` are all clocks, the most pressing first."""
    first: dict[JobId, Tile] = {}
    for tile in tiles:
        first.setdefault(tile.job, tile)
    inside = [state.job for state in state.open_jobs][:MOST]
    found = (_face(job, n, first.get(job.id), clocks, job.id == shown) for n, job in enumerate(inside, 1))
    late = {job: promise.shortest for job, promise in (promises or {}).items()}
    return tuple(
        replace(
            face,
            promise=late.get(face.job, ""),
            place=where_text(state, face.job),
            colour=state.jobs[face.job].job.colour,
            plate=state.jobs[face.job].job.plate,
            cures=state.jobs[face.job].curing,
        )
        for face in found
    )


def _face(job: Job, number: int, tile: Tile | None, clocks: Collection[ZoneClock], shown: bool) -> BayFace:
    if tile is not None:
        detail = _("{zones}: {step}").format(zones=tile.title, step=tile.what)
        return BayFace(
            job.id, number, job.title, detail, tile.label, tile.digits, tile.urgency, round(tile.fraction, 2), shown
        )
    done = all(clock.step is None for clock in clocks if clock.job == job.id)
    label, urgency = (_("done"), Urgency.FINISHED) if done else (_("no clock runs"), Urgency.IDLE)
    return BayFace(job.id, number, job.title, "", label, "", urgency, 0.0, shown)


def quiet_faces(car: JobState, clocks: Collection[ZoneClock], at: datetime) -> dict[ZoneId, Face]:
    """Return a car's faces without times and marks, so that a small drawing changes only with a surface or a state."""
    return {zone: _quiet(face) for zone, face in faces(car, clocks, at).items()}


def _quiet(face: Face) -> Face:
    return replace(face, name="", time_text="", fraction=0.0, show_time=False, marks=())
