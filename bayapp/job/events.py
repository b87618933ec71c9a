"""What has happened, in the past tense. An event is never edited; only a later event says otherwise."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from bayapp.job.instant import Instant
from bayapp.job.job import Job
from bayapp.job.product import Celsius, Percent
from bayapp.job.words import Code, JobId, Person, StepId, ZoneId

Text = Annotated[str, Field(min_length=1, max_length=500)]


class EventBase(BaseModel):
    """What every event has: its instant, and the job and person where there is one."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    at: Instant
    job: JobId | None = None
    by: Person | None = None


class JobOpened(EventBase):
    """A car came in; the whole job stands inside, so that files changed later do not change it."""

    event: Literal["job-opened/1"] = "job-opened/1"
    opened: Job


class JobClosed(EventBase):
    """The car left the bay."""

    event: Literal["job-closed/1"] = "job-closed/1"


class Deviation(BaseModel):
    """A refused step that a person carried out anyway: what the gate had said, and the person's reason."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    code: Code
    why: str
    reason: Text


class StepStarted(EventBase):
    """Work on a zone's step began.

    Zones begun by one touch carry the same ``touch``. ``implied``: a finish came without a start, and
    one undo takes both back.
    """

    event: Literal["step-started/1"] = "step-started/1"
    zone: ZoneId
    step: StepId
    touch: str = ""
    implied: bool = False
    deviation: Deviation | None = None


class StepFinished(EventBase):
    """Work on a zone's running step ended."""

    event: Literal["step-finished/1"] = "step-finished/1"
    zone: ZoneId
    step: StepId


class StepUndone(EventBase):
    """The zone's last accepted start, finish or correction was taken back."""

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


class TimeCorrected(EventBase):
    """A recorded start or finish got another time; both times stay in the record."""

    event: Literal["time-corrected/1"] = "time-corrected/1"
    zone: ZoneId
    step: StepId
    edge: Literal["start", "finish"]
    was: Instant
    becomes: Instant


class AirRead(EventBase):
    """The air, and where it was read the surface, was measured."""

    event: Literal["air-read/1"] = "air-read/1"
    air_c: Celsius
    rh_percent: Percent
    surface_c: Celsius | None = None


class NoteWritten(EventBase):
    """A person wrote something down, about one zone or the whole job."""

    event: Literal["note-written/1"] = "note-written/1"
    zone: ZoneId | None = None
    text: Text


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


class TimeZoneChanged(EventBase):
    """The machine was given another time zone: times are shown in it from here on, and no wait moved.

    ``was`` and ``becomes`` are names of the IANA time zone database where the machine knows them.
    """

    event: Literal["time-zone-changed/1"] = "time-zone-changed/1"
    was: str
    becomes: str


Event = Annotated[
    JobOpened
    | JobClosed
    | StepStarted
    | StepFinished
    | StepUndone
    | ZoneSetAside
    | ZoneTakenUp
    | TimeCorrected
    | AirRead
    | NoteWritten
    | AlertAnswered
    | SoundChecked
    | ClockStepped
    | TimeZoneChanged,
    Field(discriminator="event"),
]

EVENT: TypeAdapter[Event] = TypeAdapter(Event)
