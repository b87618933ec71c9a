"""The gate's answer, as data."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from bayapp.job.grounds import Grounds, Why
from bayapp.job.model.ids import Code, JobId, StepId, ZoneId
from bayapp.job.state.events import Event
from bayapp.job.waits.waits import Window

_FINAL_CODES = frozenset({Code.UNKNOWN, Code.CLOCK, Code.DONE})
_EACH_ZONE = frozenset({Code.BAY, Code.BUSY, Code.MARK})
_FINAL_REASONS = frozenset({Why.ZONE_BUSY, Why.SET_ASIDE, Why.CAR_WORKED, Why.OCCUPIED_BAY})


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason why not.

    Attributes:
        grounds: which reason it is, with what its sentence needs to know.
        right_from: the moment from which it will be right, where that is known.
    """

    code: Code
    grounds: Grounds
    job: JobId | None = None
    zone: ZoneId | None = None
    step: StepId | None = None
    right_from: datetime | None = None

    @property
    def why(self) -> Why:
        """Which reason it is."""
        return self.grounds.why

    @property
    def final(self) -> bool:
        """Whether no deviation carries a step through this."""
        return self.code in _FINAL_CODES or self.why in _FINAL_REASONS

    @property
    def asks(self) -> bool:
        """Whether it is a question whose answer may allow the step, rather than a no."""
        return self.why is Why.SPLASH


def one_a_rule(refusals: Iterable[Refusal]) -> tuple[Refusal, ...]:
    """Return the first refusal by each rule: of a ladder one for all zones of a touch, else one for each zone."""
    found: dict[object, Refusal] = {}
    for refusal in refusals:
        of_zone = (refusal.job, refusal.zone) if refusal.code in _EACH_ZONE else ()
        found.setdefault((refusal.why, *of_zone), refusal)
    return tuple(found.values())


@dataclass(frozen=True, slots=True)
class Verdict:
    """Accepted with the events to record, or refused with reasons; a touch on many zones is all or none.

    Attributes:
        asks: what the screen should ask for although the step is accepted (a reading of the air).
        windows: each zone's wait for the step asked for.
    """

    events: tuple[Event, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    asks: tuple[Refusal, ...] = ()
    windows: Mapping[ZoneId, Window] = field(default_factory=dict)

    @property
    def accepted(self) -> bool:
        """Whether nothing stands in the way."""
        return not self.refusals

    @property
    def possible(self) -> bool:
        """Whether nothing stands in the way but questions that a person can answer with yes."""
        return all(refusal.asks for refusal in self.refusals)

    @property
    def refusal(self) -> Refusal | None:
        """The first reason, when refused."""
        return self.refusals[0] if self.refusals else None
