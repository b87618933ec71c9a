"""What a person asks for: commands, as verbs. Knows no answer."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bayapp.job.words import JobId, Person, StepId, ZoneId


@dataclass(frozen=True, slots=True)
class Start:
    """Begin a step on one or more zones by one touch; ``deviation`` is the reason to carry on through a refusal."""

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    by: Person | None = None
    deviation: str | None = None


@dataclass(frozen=True, slots=True)
class Finish:
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
    """Record a reading: °C, % relative humidity, and °C of the surface where it was read."""

    air_c: float
    rh_percent: float
    surface_c: float | None = None
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class WriteNote:
    """Write something down about one or more zones by one touch, or about the whole job where none is named."""

    job: JobId
    text: str
    zones: tuple[ZoneId, ...] = ()
    by: Person | None = None


@dataclass(frozen=True, slots=True)
class CloseJob:
    """The car leaves the bay."""

    job: JobId
    by: Person | None = None


Request = Start | Finish | Undo | SetAside | TakeUp | CorrectTime | ReadAir | WriteNote | CloseJob
OfZones = Start | Finish | Undo | SetAside | TakeUp | WriteNote
"""Requests about any number of zones by one touch."""
