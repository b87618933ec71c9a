"""The grounds for a refusal: which reasons there are, and what each one knows for its sentence."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import ClassVar, Literal

from bayapp.air import Fitness, Hindrance
from bayapp.job.model.ids import JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.wait_tables import By


class Why(StrEnum):
    """The reasons there are; each has its own sentence."""

    EARLY = "early"
    LAPSED = "lapsed"
    STEP_BEFORE = "step-before"
    LEFT_OUT = "left-out"
    OTHERS_FIRST = "others-first"
    NOTHING_TO_UNDO = "nothing-to-undo"
    NOT_RUNNING = "not-running"
    ZONE_BUSY = "zone-busy"
    STILL_WORKED = "still-worked"
    SET_ASIDE = "set-aside"
    ASIDE_ALREADY = "aside-already"
    NOT_ASIDE = "not-aside"
    COVERED_ALREADY = "covered-already"
    NOT_COVERED = "not-covered"
    NOTHING_TO_COVER = "nothing-to-cover"
    WAITS_FOR_NOBODY = "waits-for-nobody"
    NOT_DONE_YET = "not-done-yet"
    NO_SUCH_STAY = "no-such-stay"
    CURES_ELSEWHERE = "cures-elsewhere"
    NOTHING_TO_WET = "nothing-to-wet"
    WET_WHEN = "wet-when"
    STILL_TO_DO = "still-to-do"
    PASSED_ALREADY = "passed-already"
    NOT_SEEN = "not-seen"
    NO_POLISH = "no-polish"
    MATT = "matt"
    FILM = "film"
    FRESH_REPAINT = "fresh-repaint"
    LEAVE_ALONE = "leave-alone"
    SENSOR = "sensor"
    MARKED_ALREADY = "marked-already"
    NO_SUCH_MARK = "no-such-mark"
    MARK_AHEAD = "mark-ahead"
    WORKED_ALREADY = "worked-already"
    LADDERS_DIFFER = "ladders-differ"
    SAME_RECIPE = "same-recipe"
    WAITS_CLASH = "waits-clash"
    STILL_AT_WORK = "still-at-work"
    SEVERAL_BLOCKS = "several-blocks"
    PERSON_BUSY = "person-busy"
    TOOL_BUSY = "tool-busy"
    DUST_ON_COAT = "dust-on-coat"
    COAT_IN_DUST = "coat-in-dust"
    COAT_IN_WATER = "coat-in-water"
    WATER_ON_COAT = "water-on-coat"
    KEEP_DRY = "keep-dry"
    SPLASH = "splash"
    COAT_OUTSIDE = "coat-outside"
    KEEP_DRY_OUTSIDE = "keep-dry-outside"
    ALREADY_THERE = "already-there"
    CAR_WORKED = "car-worked"
    NO_MOVE = "no-move"
    NO_SUCH_PLACE = "no-such-place"
    BAY_NAME = "bay-name"
    OCCUPIED_BAY = "occupied-bay"
    NO_READING = "no-reading"
    OLD_READING = "old-reading"
    DEW_POINT = "dew-point"
    BEFORE_COAT = "before-coat"
    AIR_LIMIT = "air-limit"
    SURFACE_LIMIT = "surface-limit"
    HUMIDITY_LIMIT = "humidity-limit"
    BOTTLE_EXPIRED = "bottle-expired"
    BOTTLE_OPEN_TOO_LONG = "bottle-open-too-long"
    BOTTLE_EMPTY = "bottle-empty"
    NO_BOTTLE = "no-bottle"
    NO_SUCH_BOTTLE = "no-such-bottle"
    BOTTLE_GONE = "bottle-gone"
    BOTTLE_NOT_GONE = "bottle-not-gone"
    BAD_AMOUNT = "bad-amount"
    NOT_WEIGHABLE = "not-weighable"
    BAD_BOTTLE_DATE = "bad-bottle-date"
    RIPENS_UNREAD = "ripens-unread"
    RIPENS_OUTSIDE = "ripens-outside"
    IMPOSSIBLE_AIR = "impossible-air"
    IMPOSSIBLE_READING_TIME = "impossible-reading-time"
    NO_SUCH_READING = "no-such-reading"
    IMPOSSIBLE_THICKNESS = "impossible-thickness"
    NO_READINGS = "no-readings"
    NO_THICKNESS = "no-thickness"
    PHOTO_KNOWN = "photo-known"
    NO_SUCH_PHOTO = "no-such-photo"
    NO_SUCH_JOB = "no-such-job"
    JOB_KNOWN = "job-known"
    NO_ZONE = "no-zone"
    NO_REASON = "no-reason"
    NO_SUCH_ZONE = "no-such-zone"
    NO_SUCH_STEP = "no-such-step"
    NO_SUCH_PERSON = "no-such-person"
    JOB_CLOSED = "job-closed"
    JOB_INSIDE = "job-inside"
    TIME_RAN_BACK = "time-ran-back"
    TIME_UNSURE = "time-unsure"
    BEYOND_CALENDAR = "beyond-calendar"
    NOTHING_TO_SETTLE = "nothing-to-settle"
    BEFORE_OUTAGE = "before-outage"
    IMPOSSIBLE_TIME = "impossible-time"
    STEP_DONE = "step-done"
    ALL_DONE = "all-done"


@dataclass(frozen=True, slots=True)
class Bare:
    """Grounds that need no more said than the refusal's own zone, step and moment."""

    why: Why


@dataclass(frozen=True, slots=True)
class Early:
    """The wait that counts ``since`` some moment still runs; ``by_air``: how long it is hangs on the air meanwhile."""

    why: ClassVar[Why] = Why.EARLY
    since: datetime
    opens_at: datetime
    by_air: bool = False


@dataclass(frozen=True, slots=True)
class Lapsed:
    """The latest moment has passed; ``back_to`` is None where the recipe has no rung to go back to.

    ``again``: what may then be done again by whoever has looked, or None. ``unsure``: nobody knows how long the machine
    was off before, and it may not have passed.
    """

    why: ClassVar[Why] = Why.LAPSED
    lapsed_at: datetime
    back_to: StepId | None
    air_was_unknown: bool
    again: StepId | None = None
    unsure: bool = False


@dataclass(frozen=True, slots=True)
class StepBefore:
    """Another step comes first."""

    why: ClassVar[Why] = Why.STEP_BEFORE
    next_step: StepId


@dataclass(frozen=True, slots=True)
class LeftOut:
    """The step was left out, and these that come after it were done; made up now, they have to be done again."""

    why: ClassVar[Why] = Why.LEFT_OUT
    after: tuple[StepId, ...]


@dataclass(frozen=True, slots=True)
class OthersFirst:
    """These zones have not finished the step that the wait counts from."""

    why: ClassVar[Why] = Why.OTHERS_FIRST
    zones: tuple[ZoneId, ...]
    anchor: StepId | None


@dataclass(frozen=True, slots=True)
class ZoneBusy:
    """Another step is under way on the zone."""

    why: ClassVar[Why] = Why.ZONE_BUSY
    running: StepId


@dataclass(frozen=True, slots=True)
class StillWorked:
    """A zone cannot be set aside or go on by another recipe: this step is under way on it."""

    why: ClassVar[Why] = Why.STILL_WORKED
    running: StepId


MarkWhy = Literal[Why.MATT, Why.FILM, Why.FRESH_REPAINT, Why.LEAVE_ALONE, Why.SENSOR]


@dataclass(frozen=True, slots=True)
class Marked:
    """A mark forbids the step; ``note`` is what was said with it.

    ``painted_on``, ``days``: of a repaint its day, and for how many days after it no coat is laid.
    ``recipe``: on film, the title of the recipe that is not made for it.
    """

    why: MarkWhy
    note: str = ""
    painted_on: date | None = None
    days: int = 0
    recipe: str = ""


@dataclass(frozen=True, slots=True)
class NotSeen:
    """The car cannot leave: something was done on these zones, and nobody has seen them by light since."""

    why: ClassVar[Why] = Why.NOT_SEEN
    zones: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class IsAside:
    """The zone is set aside, for this reason."""

    why: ClassVar[Why] = Why.SET_ASIDE
    reason: str


@dataclass(frozen=True, slots=True)
class AsideAlready:
    """The zone was set aside before, for this reason."""

    why: ClassVar[Why] = Why.ASIDE_ALREADY
    reason: str


@dataclass(frozen=True, slots=True)
class LaddersDiffer:
    """What has been done on the zone has nothing like it in the recipe of this title."""

    why: ClassVar[Why] = Why.LADDERS_DIFFER
    recipe: str


@dataclass(frozen=True, slots=True)
class SameRecipe:
    """The zone goes by the recipe of this title already."""

    why: ClassVar[Why] = Why.SAME_RECIPE
    recipe: str


@dataclass(frozen=True, slots=True)
class WaitsClash:
    """The job's waits could not hold together; ``clash`` is which, in words."""

    why: ClassVar[Why] = Why.WAITS_CLASH
    clash: str


@dataclass(frozen=True, slots=True)
class StillAtWork:
    """A person who would leave the crew is at work on the refusal's zone."""

    why: ClassVar[Why] = Why.STILL_AT_WORK
    by: Person


@dataclass(frozen=True, slots=True)
class SeveralBlocks:
    """One touch named zones of more than one work block: these, and others."""

    why: ClassVar[Why] = Why.SEVERAL_BLOCKS
    zones: tuple[ZoneId, ...]
    others: tuple[ZoneId, ...]


@dataclass(frozen=True, slots=True)
class PersonBusy:
    """The person is at work on the refusal's zone."""

    why: ClassVar[Why] = Why.PERSON_BUSY
    by: Person


@dataclass(frozen=True, slots=True)
class ToolBusy:
    """The tool is in use on the refusal's zone."""

    why: ClassVar[Why] = Why.TOOL_BUSY
    tool: str


@dataclass(frozen=True, slots=True)
class SplashReach:
    """Whether water on the car ``wet`` reaches these zones of the refusal's car, which must only be kept dry."""

    why: ClassVar[Why] = Why.SPLASH
    zones: tuple[ZoneId, ...]
    wet: JobId


@dataclass(frozen=True, slots=True)
class OfPlace:
    """Grounds that need no more said than which place it is, by its name or id."""

    why: Literal[Why.NO_SUCH_PLACE, Why.BAY_NAME, Why.OCCUPIED_BAY]
    place: str


@dataclass(frozen=True, slots=True)
class UnreadPlace:
    """Nobody has read the air of the place where the car stands."""

    why: ClassVar[Why] = Why.NO_READING
    place: PlaceId


@dataclass(frozen=True, slots=True)
class OldReading:
    """The newest reading of the air is too old; ``place`` is where it should be read again, if bays have names."""

    why: ClassVar[Why] = Why.OLD_READING
    read_at: datetime
    place: PlaceId | None = None


@dataclass(frozen=True, slots=True)
class DewPoint:
    """The surface is too close to the dew point."""

    why: ClassVar[Why] = Why.DEW_POINT
    fitness: Fitness


@dataclass(frozen=True, slots=True)
class OverLimit:
    """The air, the surface (°C) or the humidity (%) is not within what the product may be laid at.

    ``advised``: it is said what would help; not where another hindrance says so already.
    """

    hindrance: Literal[Hindrance.AIR, Hindrance.SURFACE, Hindrance.HUMIDITY]
    fitness: Fitness
    product: str
    value: float
    low: float
    high: float
    advised: bool = True

    @property
    def why(self) -> Why:
        """Which of the three it is."""
        return _OVER[self.hindrance]


_OVER: Mapping[Hindrance, Why] = {
    Hindrance.AIR: Why.AIR_LIMIT,
    Hindrance.SURFACE: Why.SURFACE_LIMIT,
    Hindrance.HUMIDITY: Why.HUMIDITY_LIMIT,
}


@dataclass(frozen=True, slots=True)
class BeforeCoat:
    """The coat that a wipe leads to could not be laid now; ``doubt`` is why."""

    why: ClassVar[Why] = Why.BEFORE_COAT
    doubt: "AirDoubt"


@dataclass(frozen=True, slots=True)
class BottleExpired:
    """The day on the label has passed; ``instead`` is the number of a bottle that is fit, or empty."""

    why: ClassVar[Why] = Why.BOTTLE_EXPIRED
    bottle: str
    product: str
    expires: date
    instead: str = ""


@dataclass(frozen=True, slots=True)
class BottleOpenTooLong:
    """The bottle was good for so many days after it was opened; ``instead`` is one that is fit, or empty."""

    why: ClassVar[Why] = Why.BOTTLE_OPEN_TOO_LONG
    bottle: str
    product: str
    opened: datetime
    days: int
    instead: str = ""


@dataclass(frozen=True, slots=True)
class BottleEmpty:
    """By the reckoning nothing is left in the bottle; ``instead`` is one that is fit, or empty."""

    why: ClassVar[Why] = Why.BOTTLE_EMPTY
    bottle: str
    product: str
    instead: str = ""


@dataclass(frozen=True, slots=True)
class NoBottle:
    """The shelf has no bottle of the product."""

    why: ClassVar[Why] = Why.NO_BOTTLE
    product: str


@dataclass(frozen=True, slots=True)
class OfBottle:
    """Grounds that need no more said than which bottle it is."""

    why: Literal[Why.NO_SUCH_BOTTLE, Why.BOTTLE_NOT_GONE, Why.BAD_BOTTLE_DATE]
    bottle: str


@dataclass(frozen=True, slots=True)
class BottleGone:
    """The bottle left the shelf, for this reason."""

    why: ClassVar[Why] = Why.BOTTLE_GONE
    bottle: str
    gone_at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class BadAmount:
    """The bottle cannot hold so much, ml."""

    why: ClassVar[Why] = Why.BAD_AMOUNT
    bottle: str
    ml: float
    most: float


@dataclass(frozen=True, slots=True)
class NotWeighable:
    """The product says too little for its bottles to be weighed."""

    why: ClassVar[Why] = Why.NOT_WEIGHABLE
    product: str


@dataclass(frozen=True, slots=True)
class RipensOutside:
    """The sheet says nothing of a wait at this value: it speaks of ``low`` to ``high``, °C or %."""

    why: ClassVar[Why] = Why.RIPENS_OUTSIDE
    by: By
    value: float
    low: float
    high: float
    thumb: bool


@dataclass(frozen=True, slots=True)
class ImpossibleAir:
    """A reading says what no air can be: the name of its field, and the value."""

    why: ClassVar[Why] = Why.IMPOSSIBLE_AIR
    what: str
    value: float


@dataclass(frozen=True, slots=True)
class ImpossibleReadingTime:
    """The air cannot have been read then."""

    why: ClassVar[Why] = Why.IMPOSSIBLE_READING_TIME
    read_at: datetime
    earliest: datetime
    latest: datetime


@dataclass(frozen=True, slots=True)
class NoSuchReading:
    """No reading was recorded then."""

    why: ClassVar[Why] = Why.NO_SUCH_READING
    corrects: datetime


@dataclass(frozen=True, slots=True)
class ImpossibleThickness:
    """No paint is so thick, or less than nothing, µm."""

    why: ClassVar[Why] = Why.IMPOSSIBLE_THICKNESS
    um: float


@dataclass(frozen=True, slots=True)
class NoSuchJob:
    """No job of this id is in the bay."""

    why: ClassVar[Why] = Why.NO_SUCH_JOB
    job: JobId


@dataclass(frozen=True, slots=True)
class JobKnown:
    """A job of this id is in the bay, or has been."""

    why: ClassVar[Why] = Why.JOB_KNOWN
    job: JobId


@dataclass(frozen=True, slots=True)
class NoSuchPerson:
    """The person is not in the job's crew."""

    why: ClassVar[Why] = Why.NO_SUCH_PERSON
    by: Person
    crew: tuple[Person, ...]


@dataclass(frozen=True, slots=True)
class HasLeft:
    """The car left the bay."""

    why: ClassVar[Why] = Why.JOB_CLOSED
    closed_at: datetime


@dataclass(frozen=True, slots=True)
class TimeRanBack:
    """The time given lies before the last entry."""

    why: ClassVar[Why] = Why.TIME_RAN_BACK
    last_at: datetime


@dataclass(frozen=True, slots=True)
class TimeUnsure:
    """The machine was off since then, and nobody has said yet for how long."""

    why: ClassVar[Why] = Why.TIME_UNSURE
    since: datetime


@dataclass(frozen=True, slots=True)
class BeforeOutage:
    """It cannot be so early: the board still ran then, and the machine has been on for some time since."""

    why: ClassVar[Why] = Why.BEFORE_OUTAGE
    since: datetime
    earliest: datetime


@dataclass(frozen=True, slots=True)
class BeyondCalendar:
    """The time given lies so far off that waits could not be counted from it, or back from it."""

    why: ClassVar[Why] = Why.BEYOND_CALENDAR
    given: datetime
    earliest: datetime
    latest: datetime


@dataclass(frozen=True, slots=True)
class ImpossibleTime:
    """A start or finish cannot have been then."""

    why: ClassVar[Why] = Why.IMPOSSIBLE_TIME
    becomes: datetime


AirDoubt = Bare | UnreadPlace | OldReading | DewPoint | OverLimit
"""Why the air forbids a coat, or does not vouch for it: bare where it was never read."""
UnfitBottle = BottleExpired | BottleOpenTooLong | BottleEmpty
Grounds = (
    Early
    | Lapsed
    | StepBefore
    | LeftOut
    | OthersFirst
    | ZoneBusy
    | StillWorked
    | Marked
    | NotSeen
    | IsAside
    | AsideAlready
    | LaddersDiffer
    | SameRecipe
    | WaitsClash
    | StillAtWork
    | SeveralBlocks
    | PersonBusy
    | ToolBusy
    | SplashReach
    | OfPlace
    | AirDoubt
    | BeforeCoat
    | UnfitBottle
    | NoBottle
    | OfBottle
    | BottleGone
    | BadAmount
    | NotWeighable
    | RipensOutside
    | ImpossibleAir
    | ImpossibleReadingTime
    | NoSuchReading
    | ImpossibleThickness
    | NoSuchJob
    | JobKnown
    | NoSuchPerson
    | HasLeft
    | TimeRanBack
    | TimeUnsure
    | BeforeOutage
    | BeyondCalendar
    | ImpossibleTime
)
