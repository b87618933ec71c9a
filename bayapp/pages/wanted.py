"""What pages ask each other to open: a page by its name, or by what goes with it."""

from dataclasses import dataclass
from enum import StrEnum

from bayapp.job import FinishStep, Job, MoveCar, Refusal, Start
from bayapp.job.model.ids import BottleId, JobId, ZoneId
from bayapp.job.state.events import AirRead
from bayapp.job.state.requests import (
    AddPhoto,
    CheckBrakes,
    CloseSet,
    CorrectAir,
    CorrectTime,
    Cover,
    GiveIdentity,
    LiftMark,
    PassZones,
    ReadAir,
    ReadThickness,
    ReportWet,
    SendBack,
    SetAside,
    SetMark,
    SkipSpot,
    TakeUp,
    TrySpot,
    Uncover,
    WithdrawPhoto,
    WithdrawThickness,
    WriteNote,
)
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.board.clock_question import ClockNotice
from bayapp.pages.cars.final_check import Fault
from bayapp.record import StoreProblem

Signed = (
    Start
    | FinishStep
    | Cover
    | Uncover
    | CloseSet
    | SendBack
    | ReportWet
    | PassZones
    | CheckBrakes
    | TrySpot
    | SkipSpot
    | SetAside
    | TakeUp
    | CorrectTime
    | WriteNote
    | GiveIdentity
    | SetMark
    | LiftMark
    | ReadThickness
    | WithdrawThickness
    | AddPhoto
    | WithdrawPhoto
    | ReadAir
    | CorrectAir
)
"""What is recorded under the name of whoever stands at the car."""


class Page(StrEnum):
    """The pages that need no more than their name."""

    CARS = "cars"
    PAST_CARS = "past-cars"
    BAYS = "bays"
    NEW_CAR = "new-car"
    HALF_FILLED = "half-filled"
    ARRIVAL = "arrival"
    CHANGE = "change"
    PEOPLE = "people"
    CREW = "crew"
    MORE = "more"
    SOUND = "sound"
    CAUTIONS = "cautions"
    CLOSE = "close"
    FINAL_CHECK = "final-check"
    BRAKES = "brakes"
    CLOCK = "clock"
    SENSORS = "sensors"
    REPORT = "report"
    PLAN = "plan"
    AIR = "air"
    AIR_DAY = "air-day"
    AIR_READINGS = "air-readings"
    AIR_TOUCHED = "air-touched"
    LOCK = "lock"
    KEYS = "keys"
    SETTINGS = "settings"
    FIRST_START = "first-start"
    WORDS = "words"
    BAY = "bay"
    HOURS = "hours"
    NAMED_BAYS = "named-bays"
    NAMES = "names"
    BACKUP = "backup"
    SHELF = "shelf"
    NEW_BOTTLE = "new-bottle"
    RECIPES = "recipes"
    SHEET = "sheet"
    HELP = "help"


@dataclass(frozen=True, slots=True)
class TakeIn:
    """Take in a car for the work of a ready job."""

    job: Job


@dataclass(frozen=True, slots=True)
class ShowPastCar:
    """Show a car that left, as it was then."""

    job: JobId


@dataclass(frozen=True, slots=True)
class ShowRecord:
    """Show the day record of a car, also of one that left."""

    job: JobId


@dataclass(frozen=True, slots=True)
class WhichZone:
    """Several zones lie under one glove: which of them was meant?"""

    job: JobId
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class UnworkedZone:
    """What can be done about a zone that is not worked in this job?"""

    job: JobId
    zone: ZoneId


@dataclass(frozen=True, slots=True)
class AddZone:
    """Add one zone to the work of a car in the bay."""

    job: JobId
    zone: ZoneId


@dataclass(frozen=True, slots=True)
class WhyCarryOn:
    """For which reason is a refused step carried on with?"""

    action: Start | FinishStep


@dataclass(frozen=True, slots=True)
class AskFirst:
    """Ask what must be known before this may be: whether water on one car reaches another."""

    request: Start | FinishStep | MoveCar


@dataclass(frozen=True, slots=True)
class WhoThen:
    """Who stands at the car? In that name this is then asked for."""

    request: Signed


@dataclass(frozen=True, slots=True)
class WhereStands:
    """Where does this car stand from now on?"""

    job: JobId


@dataclass(frozen=True, slots=True)
class CureWhere:
    """Where does this car cure that is moved out?"""

    job: JobId


@dataclass(frozen=True, slots=True)
class WhichGotWet:
    """On which zones of this car did water come?"""

    job: JobId


@dataclass(frozen=True, slots=True)
class GotWetWhen:
    """When did water come on these zones?"""

    job: JobId
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class LookAt:
    """What is seen by light on these zones?"""

    job: JobId
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class AgainFrom:
    """From which step are these zones done again, on which this was seen?"""

    job: JobId
    zones: tuple[ZoneId, ...]
    fault: Fault


@dataclass(frozen=True, slots=True)
class WhyAside:
    """For which reason are these zones set aside?"""

    job: JobId
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class CorrectTimes:
    """Put the times of the latest step of these zones right."""

    job: JobId
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class NoteAbout:
    """Write a note about these zones, or about the whole car where there are none."""

    job: JobId
    zones: tuple[ZoneId, ...] = ()


@dataclass(frozen=True, slots=True)
class ShowOwner:
    """Show the owner of a car, in the bay or not: name and phone, which are kept apart from the journal."""

    job: JobId


@dataclass(frozen=True, slots=True)
class MarkZones:
    """Mark zones of this car, these chosen already, or lift marks."""

    job: JobId
    zones: tuple[ZoneId, ...] = ()


@dataclass(frozen=True, slots=True)
class MeasurePaint:
    """Measure how thick the paint of this car is; with a zone, that zone first."""

    job: JobId
    zone: ZoneId | None = None


@dataclass(frozen=True, slots=True)
class ChoosePhotoZone:
    """Of which zone of this car are photos to be seen or kept?"""

    job: JobId


@dataclass(frozen=True, slots=True)
class ShowPhotos:
    """The photos of this zone, or of the whole car."""

    job: JobId
    zone: ZoneId | None = None


@dataclass(frozen=True, slots=True)
class TakePhoto:
    """Take a photo of this zone, or of the whole car, with the machine's camera."""

    job: JobId
    zone: ZoneId | None = None


@dataclass(frozen=True, slots=True)
class ShowClockNotice:
    """Tell what the strip's button of the clock says."""

    notice: ClockNotice


@dataclass(frozen=True, slots=True)
class Refused:
    """Say why something may not be now: every rule that forbids it."""

    refusals: tuple[Refusal, ...]


@dataclass(frozen=True, slots=True)
class StoreTrouble:
    """Say what is wrong with the store."""

    problem: StoreProblem


@dataclass(frozen=True, slots=True)
class StoreFound:
    """Say what a look over the whole journal found, or what has become of it."""

    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadAirThen:
    """Type a reading of the air, and go on to a page from there."""

    then: Page


@dataclass(frozen=True, slots=True)
class CorrectReading:
    """Put a reading of the air right, or withdraw it."""

    reading: AirRead


@dataclass(frozen=True, slots=True)
class ShowBottle:
    """Show one bottle of the shelf."""

    bottle: BottleId


@dataclass(frozen=True, slots=True)
class ShowRecipe:
    """Show one recipe, by the name of its file."""

    name: str


@dataclass(frozen=True, slots=True)
class EditRecipe:
    """Change one recipe, by the name of its file."""

    name: str


@dataclass(frozen=True, slots=True)
class ShowTopic:
    """Show one topic of the manual, by the name of its file."""

    name: str


Wanted = (
    Page
    | TakeIn
    | ShowPastCar
    | ShowRecord
    | WhichZone
    | UnworkedZone
    | AddZone
    | WhyCarryOn
    | AskFirst
    | WhoThen
    | WhereStands
    | CureWhere
    | WhichGotWet
    | GotWetWhen
    | FillSpotCard
    | LookAt
    | AgainFrom
    | WhyAside
    | CorrectTimes
    | NoteAbout
    | ShowOwner
    | MarkZones
    | MeasurePaint
    | ChoosePhotoZone
    | ShowPhotos
    | TakePhoto
    | ShowClockNotice
    | Refused
    | StoreTrouble
    | StoreFound
    | ReadAirThen
    | CorrectReading
    | ShowBottle
    | ShowRecipe
    | EditRecipe
    | ShowTopic
)
"""All that can be asked for."""
