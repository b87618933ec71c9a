"""What the journal adds up to. Plain frozen values, derived and never stored."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import Literal

from bayapp.air import DEW_MARGIN_K
from bayapp.job.model.brakes import NOTHING_CHECKED, BrakeCheck
from bayapp.job.model.identity import NOTHING_SAID, Identity
from bayapp.job.model.ids import BottleId, JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.mark import Marks
from bayapp.job.model.place import NO_PLACES, Places
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.state.bottle import EMPTY_SHELF, Shelf
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    BaySetUp,
    ClockStepped,
    Deviation,
    NoteWritten,
    PhotoAdded,
    PhotoWithdrawn,
    ThicknessRead,
    ThicknessWithdrawn,
    TimePutRight,
    TimeZoneChanged,
)
from bayapp.job.state.machine_time import NOTHING_KNOWN, MachineTime
from bayapp.job.state.readings import HeldReadings, Readings
from bayapp.job.state.stays import Stay


@dataclass(frozen=True, slots=True)
class Correction:
    """A recorded time that got another: both times, who said so and when."""

    edge: Literal["start", "finish"]
    was: datetime
    becomes: datetime
    at: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class StepRun:
    """One carrying-out of a step on a zone; still running while ``finished_at`` is None.

    ``laid_on``: of a coat, the reading of the air that held when it was begun, as it was known then.
    """

    step: StepId
    started_at: datetime
    by: Person | None = None
    touch: str = ""
    implied: bool = False
    deviation: Deviation | None = None
    finished_at: datetime | None = None
    finished_by: Person | None = None
    corrected: tuple[Correction, ...] = ()
    bottle: BottleId | None = None
    laid_on: AirRead | None = None


@dataclass(frozen=True, slots=True)
class SpoiltBy:
    """The step whose dust or water spoilt a wipe; of one touch on several zones the first."""

    job: JobId
    zone: ZoneId
    step: StepId


@dataclass(frozen=True, slots=True)
class Lapse:
    """A latest moment that passed: the step it was for, when, and the rung the zone stepped back to.

    Attributes:
        back_to: None where the recipe has no such rung and a person must look.
        carried_on: a person went on with the step in spite of it, with a reason; it then cost no rung.
        anchor: what a latest moment that depends on the air was counted from.
        air_was_unknown: for some time nobody knew the air, and that time was counted at its fastest.
        unsure: nobody knows how long the machine was off before; the moment may not have passed.
        spoilt_by: no moment passed: dust or water came over a wipe, which began when it ``lapsed_at``.
    """

    step: StepId
    lapsed_at: datetime
    back_to: StepId | None
    carried_on: bool = False
    anchor: datetime | None = None
    air_was_unknown: bool = False
    unsure: bool = False
    spoilt_by: SpoiltBy | None = None


@dataclass(frozen=True, slots=True)
class Covered:
    """A cover over a coat: since when, and who put it on."""

    at: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class Wetting:
    """Water that came on a zone: when, and since when and by whom that is known."""

    at: datetime
    told_at: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class Passed:
    """A zone that was seen by light and found good: when and by whom."""

    at: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class Aid:
    """What was last said of a zone beside its steps: covered or not, by itself, sent back, wet, or seen and good."""

    kind: Literal["covered", "uncovered", "by-itself", "sent-back", "got-wet", "passed"]
    at: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ZoneState:
    """One zone's history.

    Attributes:
        runs: every carrying-out that has not been undone, oldest first.
        rungs: those that still stand on the ladder; a fall removes what lies above.
        running: the run that is under way.
        lapses: latest moments that passed and cost something.
        before: the state before the last accepted event, for undo.
        uncounted: zones that the wait running now does not count: it began while they were set aside.
        without: zones that the wait running now does not count: its set was closed early.
        aid: what was said of it since its last start, finish or correction, the last of it; an undo takes that back.
        covered: the cover over its coat, or None; whoever begins a step takes it off.
        wet: the water that came on it last, until it is polished.
        passed: that it was seen by light and is good, until anything is done on it or water comes on it.
    """

    runs: tuple[StepRun, ...] = ()
    rungs: tuple[StepRun, ...] = ()
    running: StepRun | None = None
    lapses: tuple[Lapse, ...] = ()
    before: "ZoneState | None" = None
    uncounted: frozenset[ZoneId] = frozenset()
    without: frozenset[ZoneId] = frozenset()
    aid: Aid | None = None
    covered: Covered | None = None
    wet: Wetting | None = None
    passed: Passed | None = None

    @property
    def begun(self) -> tuple[StepRun, ...]:
        """All that was begun on it and not undone, the run under way last."""
        return (*self.runs, self.running) if self.running else self.runs

    @property
    def climbed(self) -> tuple[StepRun, ...]:
        """Its rungs, the one under way included: whatever is said of the zone meanwhile, that is climbed to its end."""
        return (*self.rungs, self.running) if self.running else self.rungs

    @property
    def may_have_spots(self) -> bool:
        """Whether water came on it, and nobody has looked for water spots since."""
        return self.wet is not None and self.passed is None

    def last_finished(self, step: StepId) -> StepRun | None:
        """Return the latest finished run of a step, even if the zone has fallen below it since."""
        for run in reversed(self.runs):
            if run.step == step and run.finished_at is not None:
                return run
        return None

    def first_finished(self, step: StepId) -> StepRun | None:
        """Return the first finished run of a step that has not been undone."""
        for run in self.runs:
            if run.step == step and run.finished_at is not None:
                return run
        return None


@dataclass(frozen=True, slots=True)
class ThicknessEntry:
    """Readings of a zone's thickness, and what was said of them afterwards."""

    read: ThicknessRead
    withdrawn: ThicknessWithdrawn | None = None

    @property
    def counts(self) -> bool:
        """Whether nobody has said that it was wrong."""
        return self.withdrawn is None


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A photo, and whether it was taken away again."""

    added: PhotoAdded
    withdrawn: PhotoWithdrawn | None = None

    @property
    def counts(self) -> bool:
        """Whether nobody has taken it away."""
        return self.withdrawn is None


@dataclass(frozen=True)  # without slots, so that what follows from it is worked out once
class JobState:
    """One job's zones and notes; ``aside`` maps each zone that is set aside to the reason.

    ``marks`` are those of the form's zones, worked or not. ``set_up`` is how the shop is, until the job is closed.
    ``identity`` is what was said last of what tells the car from others, ``brakes`` of its brakes and wheels.
    ``spots`` are the test spots for each combination of paste and tool, None where one was skipped.

    ``readings`` are those of the air around the car, under which its waits ripen, until the job is closed.
    ``unsure_since``: moments from which to the next entry nobody knows how much time passed. ``thickness`` and
    ``photos`` hold in the order of the journal what was read and kept, with what was withdrawn.
    """

    job: Job
    zones: Mapping[ZoneId, ZoneState]
    opened_at: datetime
    notes: tuple[NoteWritten, ...] = ()
    identity: Identity = NOTHING_SAID
    closed_at: datetime | None = None
    aside: Mapping[ZoneId, str] = field(default_factory=dict)
    readings: HeldReadings = ()
    stays: tuple[Stay, ...] = ()
    unsure_since: tuple[datetime, ...] = ()
    thickness: Mapping[ZoneId, tuple[ThicknessEntry, ...]] = field(default_factory=dict)
    photos: tuple[KeptPhoto, ...] = ()
    marks: Marks = field(default_factory=dict)
    set_up: BaySetUp | None = None
    brakes: BrakeCheck = NOTHING_CHECKED
    spots: Mapping[str, tuple[SpotCard | None, ...]] = field(default_factory=dict)

    @property
    def place(self) -> PlaceId | None:
        """Where the car stands; None where bays have no names, or nobody has said."""
        return self.stays[-1].place if self.stays else None

    @property
    def curing(self) -> bool:
        """Whether it was moved out to cure, so that nobody works on it where it stands."""
        return bool(self.stays) and self.stays[-1].curing

    @property
    def spot(self) -> str:
        """Where it cures, in a few words; empty where nobody said."""
        return self.stays[-1].spot if self.stays else ""

    @property
    def there_since(self) -> datetime:
        """Since when it has stood there."""
        return self.stays[-1].since if self.stays else self.opened_at

    def place_at(self, moment: datetime) -> PlaceId | None:
        """Return where the car stood at a moment."""
        found = [stay.place for stay in self.stays if stay.since <= moment] or [s.place for s in self.stays[:1]]
        return found[-1] if found else None

    def photos_of(self, zone: ZoneId | None) -> tuple[KeptPhoto, ...]:
        """Return the photos of a zone, or of the whole car, that nobody has taken away, oldest first."""
        return tuple(photo for photo in self.photos if photo.counts and photo.added.zone == zone)

    @cached_property
    def taken(self) -> Mapping[BottleId, tuple[tuple[datetime, float], ...]]:
        """When each bottle was laid from and what that took, ml; what was undone took nothing."""
        found: dict[BottleId, list[tuple[datetime, float]]] = {}
        for zone, state in self.zones.items():
            for run in state.begun:
                if run.bottle is not None:
                    ml = self.job.ml_of.get((zone, run.step), 0.0)
                    found.setdefault(run.bottle, []).append((run.started_at, ml))
        return {bottle: tuple(uses) for bottle, uses in found.items()}

    @cached_property
    def needs(self) -> Mapping[str, float]:
        """What is still to be laid of each product, ml; a zone that is set aside needs nothing today."""
        found: dict[str, float] = {}
        for zone, state in self.zones.items():
            if zone in self.aside:
                continue
            begun = {run.step for run in state.rungs} | ({state.running.step} if state.running else set())
            for step in self.job.recipe_of(zone).step:
                ml = self.job.ml_of.get((zone, StepId(step.id)))
                if ml and step.product and step.id not in begun:
                    found[step.product] = found.get(step.product, 0.0) + ml
        return found


@dataclass(frozen=True, slots=True)
class SplashAnswer:
    """What was said of water on one car and a zone of another, while both stood where they had since these moments."""

    out_of_reach: bool
    since: tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class BayState:
    """All that is known: the jobs, the air, the shelf, and the first and last moments that anything was recorded.

    Attributes:
        readings: the air in the order of measuring, as corrected; what was withdrawn is not among them.
        air_corrections: what was said of readings afterwards, in the order of the journal.
        places: the bays and their curtains as they are now.
        machine: when the machine was off, and what is known of its clock.
        splash: what was said last of water on the first car and this zone of the second.
    """

    jobs: Mapping[JobId, JobState] = field(default_factory=dict)
    readings: Readings = ()
    air_corrections: tuple[AirCorrected, ...] = ()
    answers: Mapping[str, datetime | None] = field(default_factory=dict)
    clock_steps: tuple[ClockStepped, ...] = ()
    machine: MachineTime = NOTHING_KNOWN
    times_put_right: tuple[TimePutRight, ...] = ()
    time_zone_changes: tuple[TimeZoneChanged, ...] = ()
    sound_checked_at: datetime | None = None
    sound_heard: bool = False
    first_at: datetime | None = None
    last_at: datetime | None = None
    shelf: Shelf = EMPTY_SHELF

    set_up: BaySetUp | None = None
    stays_until: datetime | None = None
    places: Places = NO_PLACES
    splash: Mapping[tuple[JobId, JobId, ZoneId], SplashAnswer] = field(default_factory=dict)

    @property
    def dew_margin_k(self) -> float:
        """How far above the dew point the shop wants a surface for a coat, K."""
        return self.set_up.dew_margin_k if self.set_up else DEW_MARGIN_K

    @property
    def air(self) -> AirRead | None:
        """The last reading of the air anywhere; it holds until the next one."""
        return self.readings[-1] if self.readings else None

    def air_at(self, place: PlaceId | None) -> AirRead | None:
        """Return the last reading of the air that a place has; None where nobody has read it."""
        return next((r for r in reversed(self.readings) if self.places.same_air(r.place, place)), None)

    def around(self, place: PlaceId | None) -> "BayState":
        """Return the state with only the cars and readings whose air a place shares; the same where all do."""
        near = self.places.same_air
        readings = tuple(r for r in self.readings if near(r.place, place))
        jobs = {name: job for name, job in self.jobs.items() if near(job.place, place)}
        if len(jobs) == len(self.jobs) and len(readings) == len(self.readings):
            return self
        return replace(self, readings=readings, jobs=jobs)

    def share_air(self, one: JobId, other: JobId) -> bool:
        """Whether dust, water and air pass between two cars in the shop."""
        if one == other:
            return True
        here, there = self.jobs[one], self.jobs[other]
        return here.spot == there.spot and self.places.same_air(here.place, there.place)

    def splash_answer(self, wet: JobId, dry: JobId, zone: ZoneId) -> bool | None:
        """Return whether a zone is out of reach of water on another car; None where nobody has said since a move."""
        answer = self.splash.get((wet, dry, zone))
        if answer is None or answer.since != (self.jobs[wet].there_since, self.jobs[dry].there_since):
            return None
        return answer.out_of_reach

    @property
    def open_jobs(self) -> tuple[JobState, ...]:
        """The jobs whose cars are still in the bay."""
        return tuple(job for job in self.jobs.values() if job.closed_at is None)
