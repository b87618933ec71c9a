"""What the planner must know of the shop beside its cars: hours, breaks, and who does not do what."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, time, tzinfo

from bayapp.job.model.ids import Person, StepKind


@dataclass(frozen=True, slots=True)
class Shop:
    """Working hours and people of one shop.

    Attributes:
        hours: stretches of the day in which work is done, local time, every day, in order; ``time.max`` as an end
            means midnight. Empty: at any time.
        cannot: kinds of step that a person does not do.
        tz: the shop's time zone, which the hours are told in.
    """

    hours: tuple[tuple[time, time], ...] = ()
    cannot: Mapping[Person, frozenset[StepKind]] = field(default_factory=dict)
    tz: tzinfo = UTC
