"""The plan in the words of the job: who does which step of which zone, when, and what else could be done."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from bayapp.job.model.ids import JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.instant import Instant
from bayapp.planning.core.plan import Status

Share = Annotated[float, Field(ge=0, le=1)]


class _Value(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class PlannedStep(_Value):
    """One step of one zone.

    Attributes:
        person: who does it; None where the job names nobody.
        opens_at, lapses_at: the window that it must start in, as the plan has it; None where there is no such limit.
        running: it is under way already; ``start`` is then when it really began.
        touch: steps of one number are begun and ended by one touch; their zones are worked one after the other.
    """

    job: JobId
    zone: ZoneId
    step: StepId
    person: Person | None = None
    start: Instant
    end: Instant
    opens_at: Instant | None = None
    lapses_at: Instant | None = None
    running: bool = False
    touch: int = 0


class Loss(_Value):
    """A step that would be past its latest moment, and when that is."""

    job: JobId
    zone: ZoneId
    step: StepId
    lapses_at: Instant

    @property
    def window(self) -> tuple[JobId, ZoneId, StepId]:
        """Which window it is, whenever that lapses."""
        return self.job, self.zone, self.step


class LeftOut(_Value):
    """A step that is left to do and that no plan can hold: nobody can do it, or what it waits for will not happen."""

    job: JobId
    zone: ZoneId
    step: StepId


class Forbidden(_Value):
    """A step that is not done for a mark on its zone, or for a step before it that is not.

    Attributes:
        why: one sentence that says what the mark forbids.
        until: from when the zone may be gone on with; None for as long as it is marked so.
    """

    job: JobId
    zone: ZoneId
    step: StepId
    why: str
    until: Instant | None = None


class Choice(_Value):
    """Something that could be begun now instead of what the plan says, by one touch.

    Attributes:
        cost_s: how many seconds later everything would be finished, or later for what was promised; 0 where nothing is
            lost.
        losses: what could then no longer be kept; empty where every window still can.
    """

    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId
    person: Person | None = None
    cost_s: int = 0
    losses: tuple[Loss, ...] = ()


class Remedy(StrEnum):
    """What can be done where not every wait can be kept."""

    GO_ON = "go-on"
    TAKE_UP = "take-up"
    COVER = "cover"
    BY_ITSELF = "by-itself"
    MOVE = "move"
    REWORK = "rework"
    STAY = "stay"
    ASIDE = "set-aside"


class WayOut(_Value):
    """One touch after which the rest can be done, and what it costs.

    Attributes:
        job, zones: what the touch is about; no zones where it is the car itself.
        step: the step that it is about, where it is about one.
        to: where the car is moved to.
        until: how long somebody stays.
        once: the step under way on these zones that must be done before; then the touch is offered, and not sooner.
        finish: the end of the last step once it is done.
        later_s: how much later that is than if nothing stood in the way.
        rework_s: seconds of work that are then done a second time.
        price_s: of this the cheapest has least: what is later, what is done twice, and what a zone or a car costs.
        still: one sentence that says what is wrong even then; empty where nothing is.
    """

    remedy: Remedy
    job: JobId
    zones: tuple[ZoneId, ...]
    step: StepId | None = None
    to: PlaceId | None = None
    until: Instant | None = None
    once: StepId | None = None
    finish: Instant
    later_s: int = 0
    rework_s: int = 0
    price_s: int = 0
    still: str = ""


class WorkOrder(_Value):
    """A plan for every car in the bay.

    Attributes:
        status: "optimal" and "feasible" carry steps; "infeasible" says in ``clash`` what cannot hold, and its
            steps, if any, are the order that loses least; "unknown" means that the time ran out.
        made_for: the moment from which on it plans.
        entry: instant of the last journal entry that it knows; a later one makes it a plan of yesterday's state.
        steps: by start; what is under way first.
        finish, bound, one_by_one: the end of the last step; the earliest that is proven possible; the end when
            zone is worked after zone with every wait idled away.
        finish_p50, finish_p90, lapse_chance: by simulation of how long work really takes.
        safety_cost_s: how much later this finishes than the soonest order, for the sake of a lower chance of lapse.
        clash: sentences that say which waits cannot all hold.
        assumed: sentences that say what the plan takes for granted of the air.
        losses: windows that can no longer be kept whatever is done now.
        left_out: steps that are left to do and not planned, by ladder.
        forbidden: steps that are not planned for a mark on their zone, by ladder.
        choices: what else could be begun at ``made_for``, and what it would cost.
        trouble: one sentence that says what is wrong, where something cannot be kept or cannot be planned.
        ways_out: what can then be done by one touch, the cheapest first.
        stuck: no plan holds as things stand; the steps, if any, hold once the first way out is taken.
        promised: something was promised, so that an order is sought first that is as little late as can be.
        late_s: by how many seconds it is late for that, added up.
    """

    format: Literal["bayapp-work-order/1"] = "bayapp-work-order/1"
    status: Status
    made_for: Instant
    entry: Instant | None = None
    steps: tuple[PlannedStep, ...] = ()
    finish: Instant | None = None
    bound: Instant | None = None
    one_by_one: Instant | None = None
    finish_p50: Instant | None = None
    finish_p90: Instant | None = None
    lapse_chance: Share | None = None
    safety_cost_s: int = 0
    clash: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    losses: tuple[Loss, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    forbidden: tuple[Forbidden, ...] = ()
    choices: tuple[Choice, ...] = ()
    trouble: str = ""
    ways_out: tuple[WayOut, ...] = ()
    stuck: bool = False
    promised: bool = False
    late_s: int = 0
