"""What a plan follows from: the bay at an instant, the shop, and how long each step is expected to take."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.recipe import Step
from bayapp.job.state.state import BayState
from bayapp.planning.from_bay.shop import Shop

Minutes = Callable[[Job, ZoneId, Step], float]


def as_written(job: Job, zone: ZoneId, step: Step) -> float:
    """Return the minutes that the recipe states."""
    return step.minutes


@dataclass(frozen=True, slots=True)
class Situation:
    """The bay at an instant, and the shop that it stands in.

    Attributes:
        minutes: how long a step of a zone is expected to take.
    """

    state: BayState
    at: datetime
    shop: Shop
    minutes: Minutes = as_written
