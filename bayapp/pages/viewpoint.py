"""From where the bay is looked at: by whom, when, in which time zone."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job.model.ids import JobId, Person


@dataclass(frozen=True, slots=True)
class Viewpoint:
    """Who stands at the car, the instant that is shown, the time zone in which times are shown, and the car."""

    by: Person | None
    at: datetime
    tz: tzinfo
    car: JobId | None = None
