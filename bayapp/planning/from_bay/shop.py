"""What the planner must know of the shop besides its cars: hours, breaks, and who cannot do what."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, time, tzinfo

from bayapp.job.model.ids import Person, StepKind


@dataclass(frozen=True, slots=True)
class Shop:
    """Working hours and people of one shop.

    Attributes:
        hours: the working hours of every day, in local time and in order; ``time.max`` as an end
            means midnight. Empty: work is done at any time.
        cannot: kinds of step that a person does not do.
        tz: the time zone of the hours.
    """

    hours: tuple[tuple[time, time], ...] = ()
    cannot: Mapping[Person, frozenset[StepKind]] = field(default_factory=dict)
    tz: tzinfo = UTC
