"""The contents of a day record, as plain frozen values."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Literal

from bayapp.job.model.identity import MileageUnit
from bayapp.job.model.ids import Code, JobId, Motion, Person, Stage, StepId, StepKind, Urgency, ZoneId
from bayapp.job.model.mark import Damage, MarkKind
from bayapp.job.model.wait_tables import By
from bayapp.job.state.events import Length, Phase, PhotoKind
from bayapp.report.facts.air_values import AirChange, AirReading, Distrusted


class Kept(StrEnum):
    """How a wait was kept. NOT_BEGUN: the step started before what its wait counts from had happened."""

    INSIDE = "inside"
    EARLY = "early"
    LATE = "late"
    NOT_BEGUN = "not-begun"


@dataclass(frozen=True, slots=True)
class RipeningRecord:
    """What the air made of a wait.

    Attributes:
        latest: whether this is about the latest moment, because the earliest does not depend on the air.
        base, base_at, by: the wait that the sheet gives, in air of how many °C or % humidity.
        in_this_air: how long it was in the actual air; None if that was unknown or outside the sheet's table.
        thumb: by a rule of thumb instead of a sheet's table.
    """

    latest: bool
    base: timedelta
    base_at: float
    by: By
    in_this_air: timedelta | None
    thumb: bool


@dataclass(frozen=True, slots=True)
class WaitKept:
    """The wait that held for a step, and when the step did start.

    Attributes:
        counted_from: what the wait counts from, in words.
        max_from: whether the recipe counts the latest moment from the end or the first stroke of that.
        since, opens_at, lapses_at: the window; None where it had not begun, or where nothing lapses.
        ripened: what the air made of it, if it depends on the air.
    """

    counted_from: str
    max_from: Literal["end", "start"]
    started_at: datetime
    since: datetime | None
    opens_at: datetime | None
    lapses_at: datetime | None
    ripened: RipeningRecord | None = None

    @property
    def earliest(self) -> timedelta | None:
        """The least wait that was required, counted from ``since``."""
        return self.opens_at - self.since if self.opens_at and self.since else None

    @property
    def latest(self) -> timedelta | None:
        """The longest wait that was allowed, counted from ``since``."""
        return self.lapses_at - self.since if self.lapses_at and self.since else None

    @property
    def actual(self) -> timedelta | None:
        """The wait as it was."""
        return self.started_at - self.since if self.since else None

    @property
    def kept(self) -> Kept:
        """How it was kept; both edges of the window are inside."""
        if self.opens_at is None:
            return Kept.NOT_BEGUN
        if self.started_at < self.opens_at:
            return Kept.EARLY
        return Kept.LATE if self.lapses_at and self.started_at > self.lapses_at else Kept.INSIDE

    @property
    def off_by(self) -> timedelta:
        """How far outside the window the step started; nothing when inside."""
        if self.kept is Kept.EARLY and self.opens_at:
            return self.opens_at - self.started_at
        return self.started_at - self.lapses_at if self.kept is Kept.LATE and self.lapses_at else timedelta(0)


@dataclass(frozen=True, slots=True)
class CorrectedTime:
    """A time that was put right: both times stay."""

    zone: ZoneId
    zone_name: str
    step: StepId
    title: str
    edge: Literal["start", "finish"]
    was: datetime
    becomes: datetime
    at: datetime
    by: Person | None


@dataclass(frozen=True, slots=True)
class DeviationRecord:
    """Why the gate refused, why a person went on all the same, and when that was taken back, if it was.

    ``codes`` and ``said`` are of every rule that forbade it.
    """

    zone: ZoneId
    zone_name: str
    step: StepId
    title: str
    at: datetime
    by: Person | None
    codes: tuple[Code, ...]
    said: str
    reason: str
    taken_back_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class DoubtedRecord:
    """A coat laid on a reading of the air that was corrected or withdrawn later; ``said`` gives both values."""

    zones: tuple[ZoneId, ...]
    step: StepId
    laid_at: datetime
    was: AirReading
    becomes: AirReading | None
    unfit: bool
    said: str


@dataclass(frozen=True, slots=True)
class BottleRecord:
    """The bottle a step was laid from.

    Attributes:
        number: what the shop calls it.
        expires_on: the last good day by its label; None if the label gives none.
        estimated_ml: what the zone took, estimated from coverage and area, not measured; None if not estimated.
    """

    number: str
    product: str
    batch: str
    expires_on: date | None
    estimated_ml: float | None


@dataclass(frozen=True, slots=True)
class StepRecord:
    """One time that a step was done on a zone, with corrected times.

    Attributes:
        wait: the wait it had to keep; None if the recipe asks for none.
        air: for a coat, the reading in force when it was begun.
        stands: whether it still counts; a lapse or a repeat takes it off the ladder.
        bottle: what it was laid from, if the shelf knew.
        recipe: what the zone went by when it was begun; later it may have gone on by another.
        place: where the car stood then; empty where bays have no names.
    """

    step: StepId
    title: str
    kind: StepKind
    product: str | None
    started_at: datetime
    started_by: Person | None
    finished_at: datetime | None
    finished_by: Person | None
    wait: WaitKept | None
    deviation: DeviationRecord | None
    corrected: bool
    air: AirReading | None
    stands: bool
    bottle: BottleRecord | None = None
    recipe: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class LapseRecord:
    """A latest moment that passed: for what, when, what it cost, and whether a person went on all the same.

    ``back_to`` is None if the recipe has no rung to step back to, so that a person must look. ``unsure``: it may not
    have passed; nobody knows how long the machine was off. ``spoilt_by``: no moment passed: this step's dust or water
    came over a wipe.
    """

    zone: ZoneId
    zone_name: str
    title: str
    lapsed_at: datetime
    back_to: str | None
    carried_on: bool
    unsure: bool = False
    spoilt_by: str = ""


@dataclass(frozen=True, slots=True)
class AsideRecord:
    """A zone taken out of the day's work: when, by whom and why, and when and by whom it was taken up again."""

    zone: ZoneId
    zone_name: str
    at: datetime
    by: Person | None
    reason: str
    taken_up_at: datetime | None = None
    taken_up_by: Person | None = None


@dataclass(frozen=True, slots=True)
class MarkRecord:
    """What a zone was marked as, from when and by whom, and when and by whom the mark was lifted or said otherwise.

    Attributes:
        point: where on the zone, in the units of the drawing; None where nobody pointed.
        days: for how many days after its day a repaint takes no coat; None where that follows from recipe and shop.
        said: the mark, what it forbids and what was noted with it, as it stood at the moment looked at.
        set_at: None where the car came in with it.
    """

    zone: ZoneId
    zone_name: str
    kind: MarkKind
    what: Damage | None
    point: tuple[float, float] | None
    day: date | None
    days: int | None
    note: str
    said: str
    set_at: datetime | None = None
    set_by: Person | None = None
    lifted_at: datetime | None = None
    lifted_by: Person | None = None


@dataclass(frozen=True, slots=True)
class CoverRecord:
    """A coat that was covered: when and by whom, and when and by whom the cover was taken off again.

    ``off_for`` is the step that was begun with it; empty where it was taken off by itself, or is on.
    """

    zone: ZoneId
    zone_name: str
    at: datetime
    by: Person | None
    off_at: datetime | None = None
    off_by: Person | None = None
    off_for: str = ""


@dataclass(frozen=True, slots=True)
class AloneRecord:
    """A zone that went on by itself: which step waited, and for which zones it waited no longer."""

    zone: ZoneId
    zone_name: str
    title: str
    at: datetime
    by: Person | None
    without: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobChange:
    """Zones added to the job, given another recipe or sent back; another crew; a car that came back or was moved.

    Attributes:
        recipe: the recipe from then on; empty for another crew.
        reason: why the recipe was changed or the zones were sent back or added; empty where nobody said.
        crew: who works on the car from then on; None unless it is the crew that was changed.
        left_at: when the car had left, where it is its coming back that is told.
        added: whether the zones were not worked before.
        back_to: the step from which the zones are worked again; empty unless they were sent back.
        place: where the car stands from then on; ``move`` tells whether it came in there, was moved there, or was not
            moved away from there after all.
            There it only cured where ``curing`` says so.
        splash: zones of another car, and whether water on this one was said to be out of their reach.
        wet_at: when water came on the zones; None unless it did.
        passed: the zones were seen by light and were good.
        spot: of a test spot the combination, what was seen, and whether it was chosen; empty words where skipped.
        unseen: the rule against which the car left, with a reason; empty unless it did.
    """

    zones: tuple[ZoneId, ...]
    at: datetime
    by: Person | None
    recipe: str
    reason: str = ""
    crew: tuple[Person, ...] | None = None
    left_at: datetime | None = None
    added: bool = False
    back_to: str = ""
    place: str = ""
    move: Literal["in", "moved", "undone"] | None = None
    splash: tuple[str, bool] | None = None
    curing: bool = False
    wet_at: datetime | None = None
    passed: bool = False
    unseen: str = ""
    spot: tuple[str, str, bool] | None = None


IdentityPart = Literal["plate", "key-hook", "mileage"]


@dataclass(frozen=True, slots=True)
class IdentityRecord:
    """What tells the car from others, and what its owner wishes; empty or None where nobody has said."""

    plate: str = ""
    key_hook: str = ""
    mileage: int | None = None
    mileage_unit: MileageUnit | None = None
    wishes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class IdentityCorrected:
    """A plate, key hook or mileage that was said otherwise later; ``becomes`` is empty where it was taken away."""

    part: IdentityPart
    was: str
    becomes: str
    at: datetime
    by: Person | None


@dataclass(frozen=True, slots=True)
class BrakeRecord:
    """What is known of brakes and wheels; ``torque_nm`` is None where nobody has said it."""

    discs_clean: bool = False
    pedal_firm: bool = False
    rolled_and_braked: bool = False
    wheels_off: bool = False
    torque_nm: float | None = None


@dataclass(frozen=True, slots=True)
class CureRecord:
    """What must still be observed on a zone whose ladder is done; None where the recipe asks for nothing."""

    finished_at: datetime
    dry_until: datetime | None
    drive_from: datetime | None
    protects_until: datetime | None
    until: datetime
    full_cure_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class StepLeft:
    """A step still to do."""

    step: StepId
    title: str
    kind: StepKind


@dataclass(frozen=True, slots=True)
class WorkLeft:
    """What is left on a zone.

    Attributes:
        running: the first step is under way now.
        next_from: the first moment at which the next step may start, as far as its own wait decides.
        next_until: its latest moment.
        waits_for: names of zones that must first get further.
        held: a lapse has no rung to fall back to; a person must look first.
        aside: why the zone is set aside; empty where it is not.
        barred: why the bay forbids the next step at the moment looked at; empty where it does not.
        forbidden: why a mark of the zone leaves nothing to do there; empty where none does.
    """

    steps: tuple[StepLeft, ...]
    running: bool
    next_from: datetime | None
    next_until: datetime | None
    waits_for: tuple[str, ...]
    held: bool
    aside: str = ""
    barred: str = ""
    forbidden: str = ""


@dataclass(frozen=True, slots=True)
class ZoneRecord:
    """One zone's day.

    Attributes:
        block: its work block's place in the job.
        stage, layers, planned: the state of the surface, the motions of its coats, and how many coats are planned.
        earlier: how many of its steps were carried out on earlier days.
        aside: why the zone is set aside; empty where it is not.
    """

    zone: ZoneId
    name: str
    block: int
    recipe: str
    stage: Stage
    layers: tuple[Motion, ...]
    planned: int
    urgency: Urgency
    steps: tuple[StepRecord, ...]
    earlier: int
    cure: CureRecord | None
    ahead: WorkLeft | None
    aside: str = ""


TakenBackKind = Literal["start", "finish", "correction", "cover", "uncover", "set", "back", "wet", "passed"]


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Recorded work that was undone; it stays in the journal, but no longer counts.

    ``what``: of each entry the step's title, empty where it was about no step, what it was, and when.
    """

    zone: ZoneId
    zone_name: str
    what: tuple[tuple[str, TakenBackKind, datetime], ...]
    undone_at: datetime
    by: Person | None


@dataclass(frozen=True, slots=True)
class NoteRecord:
    """What a person wrote down; about the whole job where there is no zone."""

    at: datetime
    by: Person | None
    zone_name: str | None
    text: str


@dataclass(frozen=True, slots=True)
class ThicknessRecord:
    """The gauge readings of a zone that count, µm, and what they come to; ``withdrawn``: how many do not count."""

    zone: ZoneId
    name: str
    um: tuple[float, ...]
    least_um: float
    mean_um: float
    most_um: float
    thin: bool
    unlike: str | None
    neighbours_um: float | None
    withdrawn: int


@dataclass(frozen=True, slots=True)
class PhotoRecord:
    """A photo, by the checksum under which it lies in the store; without a zone it is of the whole car."""

    zone: ZoneId | None
    name: str | None
    phase: Phase
    sha256: str
    kind: PhotoKind
    size: int
    at: datetime
    by: Person | None


@dataclass(frozen=True, slots=True)
class ClockJumpRecord:
    """The machine's clock jumped; running waits did not move."""

    at: datetime
    by: timedelta
    settled: bool


@dataclass(frozen=True, slots=True)
class OutageRecord:
    """The machine was off; ``until`` is by what was said or measured of it. ``length``: how that is known."""

    since: datetime
    until: datetime
    length: Length


@dataclass(frozen=True, slots=True)
class PutRightRecord:
    """The time was put right: by whom, when, and by how much the board was moved; positive forward."""

    at: datetime
    by: Person | None
    moved: timedelta
    answer: str


@dataclass(frozen=True, slots=True)
class DayRecord:
    """One job's day.

    Attributes:
        printed_at: when the record was asked for.
        seen_at: the moment whose state it shows; the end of the day when the day is over.
        entries: how many entries the whole journal held by then, of every car and of none.
        marks: those that zones had on this day, worked or not.
        aside: the zones that were set aside on this day or before it, and not taken up again before it.
        covers: the coats that were covered on this day, or before it and not uncovered before it.
        alone: the zones that went on by themselves on this day.
        distrusted: sensors that were out of use on this day.
        brakes: what is known of brakes and wheels.
        handover_at: the latest cure, or None while a zone that it waits for is not done (``not_done`` names them).
    """

    job: JobId
    title: str
    vehicle: str
    identity: IdentityRecord
    crew: tuple[Person, ...]
    start: datetime
    opened_at: datetime
    closed_at: datetime | None
    day: date
    printed_at: datetime
    seen_at: datetime
    entries: int
    zones: tuple[ZoneRecord, ...]
    deviations: tuple[DeviationRecord, ...]
    doubted: tuple[DoubtedRecord, ...]
    lapses: tuple[LapseRecord, ...]
    marks: tuple[MarkRecord, ...]
    aside: tuple[AsideRecord, ...]
    covers: tuple[CoverRecord, ...]
    alone: tuple[AloneRecord, ...]
    changes: tuple[JobChange, ...]
    identity_corrections: tuple[IdentityCorrected, ...]
    taken_back: tuple[TakenBack, ...]
    corrections: tuple[CorrectedTime, ...]
    notes: tuple[NoteRecord, ...]
    thickness: tuple[ThicknessRecord, ...]
    photos: tuple[PhotoRecord, ...]
    readings: tuple[AirReading, ...]
    air_changes: tuple[AirChange, ...]
    distrusted: tuple[Distrusted, ...]
    clock_jumps: tuple[ClockJumpRecord, ...]
    outages: tuple[OutageRecord, ...]
    times_put_right: tuple[PutRightRecord, ...]
    handover_at: datetime | None
    brakes: BrakeRecord
    not_done: tuple[str, ...]
    cautions: tuple[str, ...]
