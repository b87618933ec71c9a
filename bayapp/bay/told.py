"""What is said once on the board of something that failed beside the work."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Told:
    """A sentence for a few minutes; whoever missed it finds it on the page that it names.

    Attributes:
        at: the instant from which on it is said.
    """

    at: datetime
    sentence: str
