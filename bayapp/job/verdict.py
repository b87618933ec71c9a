"""The gate's answer, as data."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from bayapp.job.model.ids import Code, JobId, StepId, ZoneId
from bayapp.job.state.events import Event
from bayapp.job.waits.waits import Window


class Why(StrEnum):
    """The reasons there are; each has its own sentence."""

    EARLY = "early"
    LAPSED = "lapsed"
    STEP_BEFORE = "step-before"
    OTHERS_FIRST = "others-first"
    NOTHING_TO_UNDO = "nothing-to-undo"
    NOT_RUNNING = "not-running"
    ZONE_BUSY = "zone-busy"
    STILL_WORKED = "still-worked"
    SET_ASIDE = "set-aside"
    ASIDE_ALREADY = "aside-already"
    NOT_ASIDE = "not-aside"
    WORKED_ALREADY = "worked-already"
    LADDERS_DIFFER = "ladders-differ"
    SAME_RECIPE = "same-recipe"
    WAITS_CLASH = "waits-clash"
    STILL_AT_WORK = "still-at-work"
    PERSON_BUSY = "person-busy"
    TOOL_BUSY = "tool-busy"
    DUST_ON_COAT = "dust-on-coat"
    COAT_IN_DUST = "coat-in-dust"
    WATER_ON_COAT = "water-on-coat"
    KEEP_DRY = "keep-dry"
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
    NO_SUCH_JOB = "no-such-job"
    NO_ZONE = "no-zone"
    NO_REASON = "no-reason"
    NO_SUCH_ZONE = "no-such-zone"
    NO_SUCH_STEP = "no-such-step"
    NO_SUCH_PERSON = "no-such-person"
    JOB_CLOSED = "job-closed"
    TIME_RAN_BACK = "time-ran-back"
    TIME_UNSURE = "time-unsure"
    IMPOSSIBLE_TIME = "impossible-time"
    STEP_DONE = "step-done"
    ALL_DONE = "all-done"


_FINAL_CODES = frozenset({Code.UNKNOWN, Code.CLOCK, Code.DONE})
_FINAL_REASONS = frozenset({Why.ZONE_BUSY, Why.SET_ASIDE})


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason why not.

    Attributes:
        right_from: the moment from which it will be right, where that is known.
        facts: what the sentence needs: instants, ids, numbers.
    """

    code: Code
    why: Why
    job: JobId | None = None
    zone: ZoneId | None = None
    step: StepId | None = None
    right_from: datetime | None = None
    facts: Mapping[str, object] = field(default_factory=dict)

    @property
    def final(self) -> bool:
        """Whether no deviation carries a step through this."""
        return self.code in _FINAL_CODES or self.why in _FINAL_REASONS


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
    def refusal(self) -> Refusal | None:
        """The first reason, when refused."""
        return self.refusals[0] if self.refusals else None
