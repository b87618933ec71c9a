"""That there is no planner just now, and why."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum, auto


class Outage(Enum):
    """What has become of the planner."""

    LATE = auto()
    ENDED = auto()
    GIVEN_UP = auto()


@dataclass(frozen=True, slots=True)
class PlannerOut:
    """There is no planner: no order of its stands, and the next step is what presses most.

    Attributes:
        since: the instant from which on it has been missed.
        outage: it owes its first order; it ended and is started again; it ended again and again.
        said: its last words, or nothing.
    """

    since: datetime
    outage: Outage
    said: str = ""
