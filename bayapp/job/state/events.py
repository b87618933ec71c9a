"""What has happened, in the past tense. An event is never edited; only a later event says otherwise."""

from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.identity import Identity
from bayapp.job.model.ids import BottleId, Code, JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.instant import Instant
from bayapp.job.model.job import Job, WorkBlock
from bayapp.job.model.mark import REPAINT_DAYS, Days, Mark
from bayapp.job.model.place import Bay, Spot
from bayapp.job.model.product import Celsius, Millilitres, Percent, Product
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.model.thickness import MOST_READINGS, THIN_UM, UNLIKE_UM, Micrometres

Text = Annotated[str, Field(min_length=1, max_length=500)]
BatchText = Annotated[str, Field(max_length=40)]
"""As the label says; empty where it says none. GS1 allows 20 characters, other labels more."""
GtinText = Annotated[str, Field(pattern=r"^[0-9]{14}$")]
"""A GTIN of any length, with zeros before it."""
ReadingSource = Annotated[str, Field(max_length=200)]
ThicknessSource = Literal["keypad", "gauge", "file"]
"""How readings of the thickness came: typed on the wall, from a gauge that types, from a file."""
Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
PhotoKind = Literal["jpeg", "png", "webp"]
Phase = Literal["arrival", "later"]
"""When a photo was taken: as the car came, or after work had changed what is seen."""


class EventBase(BaseModel):
    """What every event has: its instant, and the job and person where there is one."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    at: Instant
    job: JobId | None = None
    by: Person | None = None


class JobOpened(EventBase):
    """A car came in; the whole job stands inside, so that files changed later do not change it.

    ``place`` is where it stands; None where the shop has no bays with names, or nobody has said.
    """

    event: Literal["job-opened/1"] = "job-opened/1"
    opened: Job
    place: PlaceId | None = None


class BrokenRule(BaseModel):
    """A rule that forbade a step which was carried out anyway, and what the gate had said of it."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    code: Code
    why: str


class Deviation(BaseModel):
    """A refused step that a person carried out anyway: what the gate had said, and the person's reason.

    ``code`` and ``why`` are of the first rule that forbade it, ``also`` are the others; in older entries none is named.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    code: Code
    why: str
    reason: Text
    also: tuple[BrokenRule, ...] = ()

    @property
    def rules(self) -> tuple[BrokenRule, ...]:
        """Every rule that forbade it, the first one first."""
        return (BrokenRule(code=self.code, why=self.why), *self.also)


class JobClosed(EventBase):
    """The car left the bay."""

    event: Literal["job-closed/1"] = "job-closed/1"
    deviation: Deviation | None = None


class JobReopened(EventBase):
    """A car that had left is in the bay again; every wait ran on meanwhile."""

    event: Literal["job-reopened/1"] = "job-reopened/1"


class CarMoved(EventBase):
    """The car was moved to another place; ``to`` is None for a shop whose bays have no names.

    ``deviation``: it was moved although dust or water there would spoil a coat. ``curing``: it only cures there, and
    nobody works on it until it is moved again; ``spot`` is where that is, in a few words.
    """

    event: Literal["car-moved/1"] = "car-moved/1"
    was: PlaceId | None = None
    to: PlaceId | None = None
    deviation: Deviation | None = None
    curing: bool = False
    spot: Spot = ""


class CarMoveUndone(EventBase):
    """It was not moved, after all: the car stands, and stood, where it was before."""

    event: Literal["car-move-undone/1"] = "car-move-undone/1"


class SplashAnswered(EventBase):
    """A person said whether water on the car of ``job`` can reach zones of another car that only must be kept dry.

    It holds while both cars stay where they stand. ``zones_text`` is what people call those zones and their car.
    """

    event: Literal["splash-answered/1"] = "splash-answered/1"
    of: JobId
    zones: tuple[ZoneId, ...]
    out_of_reach: bool
    zones_text: str = ""


class StepStarted(EventBase):
    """Work on a zone's step began.

    Zones begun by one touch carry the same ``touch``. ``implied``: a finish came without a start, and
    one undo takes both back. ``bottle`` is the one in hand, where the shelf knows any of the product. ``spoils``
    names the cars and zones whose open wipe its dust or water spoils.
    """

    event: Literal["step-started/1"] = "step-started/1"
    zone: ZoneId
    step: StepId
    touch: str = ""
    implied: bool = False
    deviation: Deviation | None = None
    bottle: BottleId | None = None
    spoils: tuple[tuple[JobId, ZoneId], ...] = ()


class StepFinished(EventBase):
    """Work on a zone's running step ended."""

    event: Literal["step-finished/1"] = "step-finished/1"
    zone: ZoneId
    step: StepId


class StepUndone(EventBase):
    """The zone's last accepted start, finish or correction was taken back, or its cover, or that its set was closed."""

    event: Literal["step-undone/1"] = "step-undone/1"
    zone: ZoneId


class ZoneSetAside(EventBase):
    """A zone was taken out of today's work, for a reason; nothing that was done on it is lost."""

    event: Literal["zone-set-aside/1"] = "zone-set-aside/1"
    zone: ZoneId
    reason: Text


class ZoneTakenUp(EventBase):
    """A zone that was set aside is worked again."""

    event: Literal["zone-taken-up/1"] = "zone-taken-up/1"
    zone: ZoneId


class CoatCovered(EventBase):
    """A coat was covered: from here on dust and water of other zones cannot reach it."""

    event: Literal["coat-covered/1"] = "coat-covered/1"
    zone: ZoneId


class CoatUncovered(EventBase):
    """The cover was taken off; a step that begins on a covered zone says so without this event."""

    event: Literal["coat-uncovered/1"] = "coat-uncovered/1"
    zone: ZoneId


class SetClosed(EventBase):
    """A zone is worked by itself: its wait for ``step`` does not count the zones ``without`` until a step begins."""

    event: Literal["set-closed/1"] = "set-closed/1"
    zone: ZoneId
    step: StepId
    without: tuple[ZoneId, ...]


class ZoneSentBack(EventBase):
    """A zone is worked again from ``step`` on, for a reason; what was done from there on does not count any more."""

    event: Literal["zone-sent-back/1"] = "zone-sent-back/1"
    zone: ZoneId
    step: StepId
    reason: Text


class GotWet(EventBase):
    """Water came on a zone at ``wet_at``: its dry time runs anew from then, and somebody must look for water spots."""

    event: Literal["got-wet/1"] = "got-wet/1"
    zone: ZoneId
    wet_at: Instant


class ZonePassed(EventBase):
    """A zone was seen by light and found good, after all that had been done on it by then."""

    event: Literal["zone-passed/1"] = "zone-passed/1"
    zone: ZoneId


class BrakesChecked(EventBase):
    """Somebody said what is known of the brakes and wheels: all of it, from here on."""

    event: Literal["brakes-checked/1"] = "brakes-checked/1"
    check: BrakeCheck


class SpotTried(EventBase):
    """A test spot was polished, and seen by light; ``combination`` is the paste and tool of the step that it is for."""

    event: Literal["spot-tried/1"] = "spot-tried/1"
    combination: Annotated[str, Field(max_length=200)]
    card: SpotCard


class SpotSkipped(EventBase):
    """Somebody said that no test spot is made for this combination of paste and tool."""

    event: Literal["spot-skipped/1"] = "spot-skipped/1"
    combination: Annotated[str, Field(max_length=200)]


class MarkSet(EventBase):
    """Something became known of a zone, worked or not; a mark of the same kind, but for damage, holds no more."""

    event: Literal["mark-set/1"] = "mark-set/1"
    zone: ZoneId
    mark: Mark


class MarkLifted(EventBase):
    """A mark on a zone holds no more: it was mended, or was none."""

    event: Literal["mark-lifted/1"] = "mark-lifted/1"
    zone: ZoneId
    mark: Mark


class WorkAdded(EventBase):
    """Zones that were not worked in this job are worked from here on; the recipe and its products stand inside."""

    event: Literal["work-added/1"] = "work-added/1"
    block: WorkBlock
    products: dict[str, Product] = Field(default_factory=dict)
    reason: Annotated[str, Field(max_length=500)] = ""


class RecipeSwapped(EventBase):
    """Zones go on by another recipe from where they stand.

    ``becomes`` holds the zones with the recipe as it is from now on: the rungs that were climbed, then what is new;
    ``recipe`` is what a person calls the new one.
    """

    event: Literal["recipe-swapped/1"] = "recipe-swapped/1"
    becomes: WorkBlock
    products: dict[str, Product] = Field(default_factory=dict)
    recipe: str
    reason: Text


class CrewChanged(EventBase):
    """Other people work on a car from here on; what was recorded of the others stays theirs."""

    event: Literal["crew-changed/1"] = "crew-changed/1"
    crew: tuple[Person, ...]


class TimeCorrected(EventBase):
    """A recorded start or finish got another time; both times stay in the record."""

    event: Literal["time-corrected/1"] = "time-corrected/1"
    zone: ZoneId
    step: StepId
    edge: Literal["start", "finish"]
    was: Instant
    becomes: Instant


class AirRead(EventBase):
    """The air, and where it was read the surface, was measured.

    ``read_at`` is when, where that was before it was recorded; ``source`` is a sensor's id, empty where a person typed.
    ``at`` and ``source`` identify a reading; no correction changes them. ``place`` is where it was taken; None counts
    in every bay.
    """

    event: Literal["air-read/1"] = "air-read/1"
    air_c: Celsius
    rh_percent: Percent
    surface_c: Celsius | None = None
    read_at: Instant | None = None
    source: ReadingSource = ""
    place: PlaceId | None = None

    @property
    def measured_at(self) -> datetime:
        """The instant from which the reading holds, until the next one does."""
        return self.at if self.read_at is None else self.read_at

    @property
    def coat_c(self) -> float:
        """The temperature that a coat has, °C: the surface's where it was read, else the air's."""
        return self.air_c if self.surface_c is None else self.surface_c


class AirValues(BaseModel):
    """What a reading says, without who said it."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    air_c: Celsius
    rh_percent: Percent
    surface_c: Celsius | None = None
    read_at: Instant | None = None


class AirCorrected(EventBase):
    """A reading was wrong: the one recorded at ``corrects`` by ``source`` becomes another, or is withdrawn (None).

    ``was`` is what it said until now; all values stay in the record.
    """

    event: Literal["air-corrected/1"] = "air-corrected/1"
    corrects: Instant
    source: ReadingSource = ""
    was: AirValues
    becomes: AirValues | None = None


class BaySetUp(EventBase):
    """The shop said how its bay is; the air rules and the vapour estimate reckon with it from here on.

    ``air_changes``: how often the bay's air is renewed in an hour; ``mixing_k``: how much of that poor mixing eats.
    None: nobody has said. ``thin_um``, ``unlike_um``: below which paint is thin, and what sets it apart from its
    neighbours', µm. ``repaint_days``: for so many days after its day a repaint takes no coat; ``time_zone``: in which
    these days begin at midnight, by its name in the IANA time zone database, empty for UTC.
    ``final_check``: no car leaves before each zone that was worked was seen by light, but with a reason.
    """

    event: Literal["bay-set-up/1"] = "bay-set-up/1"
    dew_margin_k: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False)] = 3.0
    volume_m3: Annotated[float, Field(ge=5, le=100_000, allow_inf_nan=False)] | None = None
    air_changes: Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)] | None = None
    mixing_k: Annotated[float, Field(ge=1, le=20, allow_inf_nan=False)] = 3.0
    thin_um: Micrometres = THIN_UM
    unlike_um: Micrometres = UNLIKE_UM
    repaint_days: Days = REPAINT_DAYS
    time_zone: Annotated[str, Field(max_length=100)] = ""
    final_check: bool = False


class StayedLonger(EventBase):
    """People stay until then, whatever the hours say; None: the hours hold again."""

    event: Literal["stayed-longer/1"] = "stayed-longer/1"
    until: Instant | None = None


class PlacesSetUp(EventBase):
    """The shop named its bays, said where curtains hang, and which sensor stands where; cars stay where they are."""

    event: Literal["places-set-up/1"] = "places-set-up/1"
    bays: tuple[Bay, ...] = ()
    sensors: dict[str, PlaceId] = Field(default_factory=dict)


class NoteWritten(EventBase):
    """A person wrote something down, about one zone or the whole job."""

    event: Literal["note-written/1"] = "note-written/1"
    zone: ZoneId | None = None
    text: Text


class ThicknessRead(EventBase):
    """The dry film thickness of a zone was measured: gauge readings, µm, in the order of measuring."""

    event: Literal["thickness-read/1"] = "thickness-read/1"
    zone: ZoneId
    um: Annotated[tuple[Micrometres, ...], Field(min_length=1, max_length=MOST_READINGS)]
    source: ThicknessSource = "keypad"


class ThicknessWithdrawn(EventBase):
    """Readings of a zone were wrong: what was its ``number``th entry of thickness, from 1, counts no more.

    ``um`` is what it said; it stays in the record.
    """

    event: Literal["thickness-withdrawn/1"] = "thickness-withdrawn/1"
    zone: ZoneId
    number: Annotated[int, Field(ge=1)]
    um: tuple[Micrometres, ...]


class PhotoAdded(EventBase):
    """A photo of a zone, or of the whole car, was kept in the store, under its SHA-256 and as it came."""

    event: Literal["photo-added/1"] = "photo-added/1"
    zone: ZoneId | None = None
    sha256: Sha256
    kind: PhotoKind
    size: Annotated[int, Field(ge=1)]
    phase: Phase = "arrival"


class PhotoWithdrawn(EventBase):
    """A photo does not belong there, after all; its file stays in the store."""

    event: Literal["photo-withdrawn/1"] = "photo-withdrawn/1"
    zone: ZoneId | None = None
    sha256: Sha256


class IdentityGiven(EventBase):
    """A person said what tells the car from others, and what its owner wishes: all of it, as it is known from here on.

    Given again, the later one counts, and the earlier one stays in the journal.
    """

    event: Literal["identity-given/1"] = "identity-given/1"
    identity: Identity


class AlertAnswered(EventBase):
    """A person acknowledged or snoozed alerts; ``until`` is None for an acknowledgement."""

    event: Literal["alert-answered/1"] = "alert-answered/1"
    subjects: tuple[str, ...]
    until: Instant | None = None


class SoundChecked(EventBase):
    """The sound check was played and a person said whether it was heard."""

    event: Literal["sound-checked/1"] = "sound-checked/1"
    heard: bool


class ClockStepped(EventBase):
    """The machine's wall clock moved against real elapsed time; running waits did not move.

    ``by_ms`` is how far the wall clock jumped, positive forward; ``settled`` is true once a person has
    said which time is right.
    """

    event: Literal["clock-stepped/1"] = "clock-stepped/1"
    by_ms: int
    settled: bool = False


Length = Literal["measured", "told", "unsure", "asked", "unasked"]
"""How long an outage was: measured by a time service before and after; told by a person; nobody knows; a person is
asked; nobody was asked, because nothing hung on it."""


class MachineStarted(EventBase):
    """The machine was off since ``off_since`` by the board, which goes on at ``at``.

    ``on_ms``: how long the machine had been on by then, so long ago at least was ``off_since``. ``offset_ms``: how far
    the board had been ahead of the machine's clock before. ``synchronised``: a time service had set that clock again.
    """

    event: Literal["machine-started/1"] = "machine-started/1"
    off_since: Instant
    on_ms: Annotated[int, Field(ge=0)] = 0
    offset_ms: int = 0
    length: Length = "asked"
    synchronised: bool = False


class ClockSynchronised(EventBase):
    """A time service had set the machine's clock, which then said ``utc``, whatever the board said."""

    event: Literal["clock-synchronised/1"] = "clock-synchronised/1"
    utc: Instant


class Shift(BaseModel):
    """All that was recorded from an instant on happened so much later, ms; without ``since`` all that was recorded."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    since: Instant | None = None
    by_ms: int


class OutageLength(BaseModel):
    """The outage that ended at ``until`` was so long for sure, or is not known."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    until: Instant
    length: Length


class TimePutRight(EventBase):
    """It is ``at``: somebody said so, or a time service; what was recorded before is read by these shifts, one by one.

    The entries before keep what was believed when they were written. ``outages`` says what is known of their lengths
    from here on. ``answer`` is what a person touched: that the machine's clock is right, a time, that they don't know.
    """

    event: Literal["time-put-right/1"] = "time-put-right/1"
    answer: Literal["machine", "time", "unknown", "service"]
    shifts: tuple[Shift, ...] = ()
    outages: tuple[OutageLength, ...] = ()


class TimeZoneChanged(EventBase):
    """The machine was given another time zone: times are shown in it from here on, and no wait moved.

    ``was`` and ``becomes`` are names of the IANA time zone database where the machine knows them.
    """

    event: Literal["time-zone-changed/1"] = "time-zone-changed/1"
    was: str
    becomes: str


class BottleEvent(EventBase):
    """What every event about one bottle of the shelf has; none of them belongs to a job."""

    bottle: BottleId


class BottleShelved(BottleEvent):
    """A bottle came onto the shelf; its product stands inside, so that a file changed later does not change it.

    ``expires_on`` is the day on the label, ``expires_at`` the first moment at which it is good no more.
    """

    event: Literal["bottle-shelved/1"] = "bottle-shelved/1"
    product: Product
    size_ml: Millilitres
    batch: BatchText = ""
    gtin: GtinText | None = None
    expires_on: date | None = None
    expires_at: Instant | None = None


class BottleRelabelled(BottleEvent):
    """Batch and expiry were put right: the label says otherwise than what had been taken down."""

    event: Literal["bottle-relabelled/1"] = "bottle-relabelled/1"
    batch: BatchText = ""
    expires_on: date | None = None
    expires_at: Instant | None = None


class BottleOpened(BottleEvent):
    """A bottle was opened, then or earlier; ``opened_at`` is None where it turned out to be unopened."""

    event: Literal["bottle-opened/1"] = "bottle-opened/1"
    opened_at: Instant | None


class BottleMeasured(BottleEvent):
    """Somebody looked, or weighed, what is left; ``grams`` is the weight of the bottle with what is in it."""

    event: Literal["bottle-measured/1"] = "bottle-measured/1"
    ml: Annotated[float, Field(strict=True, ge=0, le=25_000, allow_inf_nan=False)]
    how: Literal["eye", "weight"]
    grams: Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)] | None = None


class BottleChosen(BottleEvent):
    """From here on this bottle is the one in use of its product."""

    event: Literal["bottle-chosen/1"] = "bottle-chosen/1"


class BottleFinished(BottleEvent):
    """A bottle left the shelf, for a reason: empty, thrown away."""

    event: Literal["bottle-finished/1"] = "bottle-finished/1"
    reason: Text


class BottlePutBack(BottleEvent):
    """A bottle that had left the shelf stands on it again."""

    event: Literal["bottle-put-back/1"] = "bottle-put-back/1"


class BottleDrawn(BottleEvent):
    """What a car that left the bay took from a bottle since it was last measured, by the reckoning.

    Written when the car leaves: its steps are not known at the next start, and the bottle must not fill up.
    """

    event: Literal["bottle-drawn/1"] = "bottle-drawn/1"
    of: JobId
    ml: Annotated[float, Field(strict=True, ge=0, allow_inf_nan=False)]


Event = Annotated[
    JobOpened
    | JobClosed
    | JobReopened
    | StepStarted
    | StepFinished
    | StepUndone
    | ZoneSetAside
    | ZoneTakenUp
    | CoatCovered
    | CoatUncovered
    | SetClosed
    | ZoneSentBack
    | GotWet
    | ZonePassed
    | BrakesChecked
    | SpotTried
    | SpotSkipped
    | MarkSet
    | MarkLifted
    | WorkAdded
    | RecipeSwapped
    | CrewChanged
    | CarMoved
    | CarMoveUndone
    | SplashAnswered
    | TimeCorrected
    | AirRead
    | AirCorrected
    | BaySetUp
    | StayedLonger
    | PlacesSetUp
    | NoteWritten
    | ThicknessRead
    | ThicknessWithdrawn
    | PhotoAdded
    | PhotoWithdrawn
    | IdentityGiven
    | AlertAnswered
    | SoundChecked
    | ClockStepped
    | MachineStarted
    | ClockSynchronised
    | TimePutRight
    | TimeZoneChanged
    | BottleShelved
    | BottleRelabelled
    | BottleOpened
    | BottleMeasured
    | BottleChosen
    | BottleFinished
    | BottlePutBack
    | BottleDrawn,
    Field(discriminator="event"),
]

EVENT: TypeAdapter[Event] = TypeAdapter(Event, config=ConfigDict(defer_build=True))
