"""What a person asks for: commands, as verbs."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Literal

from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.identity import Identity
from bayapp.job.model.ids import BottleId, JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.job import Job, WorkBlock
from bayapp.job.model.mark import REPAINT_DAYS, Damage, Mark, MarkKind
from bayapp.job.model.place import Bay
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Recipe
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.model.thickness import THIN_UM, UNLIKE_UM
from bayapp.job.state.events import Length, Phase, PhotoKind, ThicknessSource


@dataclass(frozen=True, slots=True)
class Start:
    """Begin a step on one or more zones by one touch; ``deviation`` is the reason to carry on through a refusal."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    by: Person | None = None
    deviation: str | None = None


@dataclass(frozen=True, slots=True)
class FinishStep:
    """End the running step; with none running, begin and end it at the same instant."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    by: Person | None = None
    deviation: str | None = None


@dataclass(frozen=True, slots=True)
class Undo:
    """Take back each zone's last accepted event."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class SetAside:
    """Take zones out of today's work, for a reason."""

    job: JobId
    zones: tuple[ZoneId, ...]
    reason: str
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class TakeUp:
    """Work zones again that were set aside."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class Cover:
    """Say that the coat on these zones has been covered, so that dust and water of others cannot reach it."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class Uncover:
    """Say that the cover has been taken off; whoever begins a step on a covered zone takes it off by that."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class CloseSet:
    """Work each of these zones by itself: the wait that runs on it now waits for none of the others any more."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class SendBack:
    """Do the work on these zones again from a step that was done, for a reason: a high spot, a coat laid too soon."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    reason: str
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ReportWet:
    """Say that water came on these zones, now or at ``wet_at``."""

    job: JobId
    zones: tuple[ZoneId, ...]
    wet_at: datetime | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class PassZones:
    """Say that these zones were seen by light and are good."""

    job: JobId
    zones: tuple[ZoneId, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class CheckBrakes:
    """Say what is known of the brakes and wheels; it takes the place of what was said before."""

    job: JobId
    check: BrakeCheck
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class TrySpot:
    """Take down a test spot for the polish of these zones."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    card: SpotCard
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class SkipSpot:
    """Say that no test spot is made for the polish of these zones."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class SetMark:
    """Say what is known of these zones, worked or not: damaged, matt, under film, repainted, a sensor, left alone."""

    job: JobId
    zones: tuple[ZoneId, ...]
    mark: Mark
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class LiftMark:
    """Say that these zones are not marked so any more; of damage, ``what`` and ``point`` say which, None all."""

    job: JobId
    zones: tuple[ZoneId, ...]
    kind: MarkKind
    what: Damage | None = None
    point: tuple[float, float] | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class AddWork:
    """Work zones that were not part of the job; why, where somebody said so."""

    job: JobId
    block: WorkBlock
    products: Mapping[str, Product] = field(default_factory=dict)
    by: Person | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SwapRecipe:
    """Go on with another recipe on these zones, from where each stands, for a reason."""

    job: JobId
    zones: tuple[ZoneId, ...]
    recipe: Recipe
    reason: str
    products: Mapping[str, Product] = field(default_factory=dict)
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ChangeCrew:
    """Say who works on a car from now on; with nobody named, work is recorded without a name."""

    job: JobId
    crew: tuple[Person, ...]
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class MoveCar:
    """Say where a car stands from now on; ``to`` is None where bays have no names.

    ``deviation`` is the reason to move it although dust or water there would spoil a coat. ``curing``: it only cures
    there, and nobody works on it meanwhile; ``spot`` is where that is, in a few words.
    """

    job: JobId
    to: PlaceId | None
    by: Person | None = None
    deviation: str | None = None
    curing: bool = False
    spot: str = ""


@dataclass(frozen=True, slots=True)
class UndoMove:
    """Take a car's last move back, as if it had not been."""

    job: JobId
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class AnswerSplash:
    """Say whether water on the car of ``job`` is out of reach of zones of the car ``of`` that must be kept dry."""

    job: JobId
    of: JobId
    zones: tuple[ZoneId, ...]
    out_of_reach: bool
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class CorrectTime:
    """Give the latest run of a step another start or finish."""

    job: JobId
    zone: ZoneId
    step: StepId
    edge: Literal["start", "finish"]
    becomes: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ReadAir:
    """Record a reading: °C, % relative humidity, and °C of the surface where it was read.

    ``read_at`` is when it was measured, where that was earlier; ``source`` is a sensor's id, empty where it was typed;
    ``place`` is where it was taken, None where the shop's bays have no names or its sensor says it.
    """

    air_c: float
    rh_percent: float
    surface_c: float | None = None
    by: Person | None = None
    read_at: datetime | None = None
    source: str = ""
    place: PlaceId | None = None


@dataclass(frozen=True, slots=True)
class CorrectAir:
    """Give the reading recorded at ``corrects`` by ``source`` other values, or withdraw it (``becomes`` None).

    Of ``becomes`` the values and ``read_at`` count; without a ``read_at`` the reading keeps its moment.
    """

    corrects: datetime
    becomes: ReadAir | None
    source: str = ""
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class WriteNote:
    """Write something down about one or more zones by one touch, or about the whole job where none is named."""

    job: JobId
    text: str
    zones: tuple[ZoneId, ...] = ()
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ReadThickness:
    """Record the paint's thickness: of each zone its gauge readings, µm, in the order of measuring; all or none."""

    job: JobId
    readings: tuple[tuple[ZoneId, tuple[float, ...]], ...]
    by: Person | None = None
    source: ThicknessSource = "keypad"


@dataclass(frozen=True, slots=True)
class WithdrawThickness:
    """Say that a zone's entry of thickness does not count: its ``number``th, from 1; without one the last that does."""

    job: JobId
    zone: ZoneId
    number: int | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class AddPhoto:
    """Add a photo, which lies in the store by now, to a zone, or to the whole car where none is named.

    ``phase``: None where it follows from what has been done to the zone.
    """

    job: JobId
    zone: ZoneId | None
    sha256: str
    kind: PhotoKind
    size: int
    phase: Phase | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class WithdrawPhoto:
    """Say that a photo does not belong to this zone, or to the whole car."""

    job: JobId
    zone: ZoneId | None
    sha256: str
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class GiveIdentity:
    """Say what tells the car from others, and what its owner wishes; it takes the place of what was said before."""

    job: JobId
    identity: Identity
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class CloseJob:
    """The car leaves the bay; ``deviation`` is the reason to let it go before all of it was seen by light."""

    job: JobId
    by: Person | None = None
    deviation: str | None = None


@dataclass(frozen=True, slots=True)
class ReopenJob:
    """A car that left comes back, with all that was recorded of it; its clocks have run on."""

    job: JobId
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ShelveBottle:
    """Put a new bottle on the shelf; ``expires_at`` is the first moment after the label's day, in the shop's time."""

    product: Product
    size_ml: float
    batch: str = ""
    gtin: str | None = None
    expires_on: date | None = None
    expires_at: datetime | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class RelabelBottle:
    """Put a bottle's batch and expiry right."""

    bottle: BottleId
    batch: str
    expires_on: date | None = None
    expires_at: datetime | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class OpenBottle:
    """Say that a bottle was opened, now or at ``opened_at``; ``unopened``: that it was not, after all."""

    bottle: BottleId
    opened_at: datetime | None = None
    unopened: bool = False
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class MeasureBottle:
    """Say what is left in a bottle: millilitres by eye, or grams of the bottle with what is in it."""

    bottle: BottleId
    ml: float | None = None
    grams: float | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ChooseBottle:
    """Use this bottle of its product from here on."""

    bottle: BottleId
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class FinishBottle:
    """Take a bottle off the shelf, for a reason."""

    bottle: BottleId
    reason: str
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class PutBackBottle:
    """Put a bottle on the shelf again that had been taken off it."""

    bottle: BottleId
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class OpenJob:
    """Take a car in; without a ``place`` it stands in the first free bay, or outside where none is free."""

    opens: Job
    place: PlaceId | None = None


@dataclass(frozen=True, slots=True)
class AnswerAlerts:
    """Say that these alerts were heard, or, with ``until``, that they are to be silent until then."""

    subjects: tuple[str, ...]
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class TrustSensor:
    """Say not to use a sensor before an instant."""

    sensor: str
    again_from: datetime
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ReportSound:
    """Say whether the sound check was heard."""

    heard: bool


@dataclass(frozen=True, slots=True)
class ReportClockJump:
    """Say that the machine's wall clock moved by so many ms against elapsed time, which was measured."""

    by_ms: int


@dataclass(frozen=True, slots=True)
class ReportMachineStart:
    """Say that the machine was off, and how that was judged; see ``MachineStarted``."""

    off_since: datetime
    on_for: timedelta
    offset: timedelta
    length: Length
    synchronised: bool


@dataclass(frozen=True, slots=True)
class ReportSynchronised:
    """Say what the machine's clock says now that a time service has set it."""

    utc: datetime


@dataclass(frozen=True, slots=True)
class SayTime:
    """Say what time it is: as the machine's clock says, a time of one's own, as a time service says, or unknown.

    ``is_now``: None where it is unknown. ``wrong``: what made the board's time wrong: the outage that ended at an
    instant, or that the board was wrong all along; None where nobody knows, and for the outage that is asked about.
    """

    answer: Literal["machine", "time", "unknown", "service"]
    is_now: datetime | None = None
    wrong: datetime | Literal["all-along"] | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class ReportTimeZone:
    """Say that the machine was given another time zone."""

    was: str
    becomes: str


@dataclass(frozen=True, slots=True)
class SetUpBay:
    """Say how the bay is: K above the dew point for a coat, m³, air changes an hour, and the factor for poor mixing.

    ``thin_um``, ``unlike_um``: below which paint is thin, and what sets it apart from its neighbours', µm.
    ``repaint_days``, ``time_zone``, ``final_check``: see ``BaySetUp``.
    """

    dew_margin_k: float
    volume_m3: float | None
    air_changes: float | None
    mixing_k: float
    thin_um: float = THIN_UM
    unlike_um: float = UNLIKE_UM
    repaint_days: int = REPAINT_DAYS
    time_zone: str = ""
    final_check: bool = False


@dataclass(frozen=True, slots=True)
class StayLonger:
    """Say until when people stay today, whatever the hours say; with None the hours hold again."""

    until: datetime | None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class SetUpPlaces:
    """Name the bays as they stand side by side, say where curtains hang, and which sensor stands where."""

    bays: tuple[Bay, ...]
    sensors: Mapping[str, PlaceId] = field(default_factory=dict)


OfShelf = ShelveBottle | RelabelBottle | OpenBottle | MeasureBottle | ChooseBottle | FinishBottle | PutBackBottle
"""Requests about a bottle; none of them needs a car in the bay."""
OfBay = OpenJob | AnswerAlerts | TrustSensor | ReportSound | ReportTimeZone | SetUpBay | SetUpPlaces | StayLonger
"""Requests about the bay and its machine; they are taken also while nobody has said yet which time is right."""
OfClock = ReportClockJump | ReportMachineStart | ReportSynchronised | SayTime
"""Requests about the machine's clock; taken also while nobody has said which time is right."""
OfJob = (
    Start
    | FinishStep
    | Undo
    | SetAside
    | TakeUp
    | Cover
    | Uncover
    | CloseSet
    | SendBack
    | ReportWet
    | PassZones
    | TrySpot
    | SkipSpot
    | SetMark
    | LiftMark
    | AddWork
    | SwapRecipe
    | ChangeCrew
    | MoveCar
    | UndoMove
    | AnswerSplash
    | CorrectTime
    | WriteNote
    | ReadThickness
    | WithdrawThickness
    | AddPhoto
    | WithdrawPhoto
    | GiveIdentity
    | CheckBrakes
    | CloseJob
)
"""Requests about a car in the bay."""
Request = OfJob | ReopenJob | ReadAir | CorrectAir | OfShelf | OfBay | OfClock
OfZones = (
    Start
    | FinishStep
    | Undo
    | SetAside
    | TakeUp
    | Cover
    | Uncover
    | CloseSet
    | SendBack
    | ReportWet
    | PassZones
    | TrySpot
    | SkipSpot
    | SwapRecipe
    | SetMark
    | LiftMark
    | WriteNote
)
"""Requests about any number of zones by one touch."""
OfAnyZone = WriteNote | SetMark | LiftMark | ReadThickness | WithdrawThickness | AddPhoto | WithdrawPhoto
"""Requests about any zone of the car, worked in the job or not."""
