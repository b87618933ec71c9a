"""What may be begun now by the newest work order, and what speaks for and against it."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from datetime import datetime

from bayapp.bay.cover_chosen import CoverChosen
from bayapp.bay.door import Change, Door
from bayapp.bay.held_back import HeldBackNow
from bayapp.bay.planner_out import PlannerOut
from bayapp.bay.price_found import PriceFound
from bayapp.bay.touch_costs import TouchCosts
from bayapp.job import Advice, Start, ZoneClock
from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.shut_out.shut_out import ShutOut
from bayapp.job.state.events import TimePutRight
from bayapp.planning.core.work_order import WayOut, WorkOrder
from bayapp.planning.next.planned_later import PlannedLater, PlannedSteps
from bayapp.planning.next.recommendation import Pause, Recommendation, next_of, recommended, weighed

LOOKED_AT = 3
"""Of so many steps it is worked out what they would shut out; a wall has room for two."""


class BayAdvice:
    """The newest work order, carried on from now.

    Attributes:
        order: what the planner said last, or None.
        planner_out: why there is no planner just now; None while all is well with it.
        losses_taken: windows that somebody has said to let go; after a new start it is asked again.
        costs: what touches would shut out.
        cover: what was chosen as a way out while the coat was being laid.
        price: what the last touch turned out to cost.
        held_back: what is ready, and what keeps it from being begun.
    """

    def __init__(self, door: Door) -> None:
        self._door = door
        self.order: WorkOrder | None = None
        self.planner_out: PlannerOut | None = None
        self.costs = TouchCosts(lambda: door.state)
        self.price = PriceFound(door)
        self.cover = CoverChosen(door)
        self.held_back = HeldBackNow()
        self.losses_taken: frozenset[tuple[str, str, str]] = frozenset()
        self._answered: WorkOrder | None = None
        self._planned: PlannedSteps | None = None
        door.follow(self._heard_of)

    @property
    def troubled(self) -> WorkOrder | None:
        """The newest work order, if something is wrong with it that nobody has answered yet."""
        order = self.order
        if order is None or not order.trouble or order is self._answered or self.cover.answers(order):
            return None
        lost = {loss.window for loss in order.losses}
        return None if lost and not order.stuck and lost <= self.losses_taken else order

    def take_losses(self) -> None:
        """Go on by the newest work order, in spite of what it lets go."""
        if self.order:
            self.losses_taken |= {loss.window for loss in self.order.losses}
        self._door.tell()

    def take_way_out(self) -> None:
        """Take note that a way out of the newest work order was taken; the next order tells whether all is well."""
        self._answered = self.order
        self._door.tell()

    def choose_cover(self, way: WayOut) -> None:
        """Take note of a way out that is to be taken as soon as the coat under way is done."""
        self.cover.choose(way)
        self._door.tell()

    def take_order(self, order: WorkOrder | None) -> None:
        """Keep the planner's newest work order; None where there is nothing to plan."""
        self.planner_out = None
        self._take(order)

    def lose_planner(self, out: PlannerOut) -> None:
        """Give up the order of a planner that is not there to bring it up to date."""
        before = self.planner_out
        self.planner_out = replace(out, since=before.since) if before else out
        self._take(None)

    def _take(self, order: WorkOrder | None) -> None:
        self.order = order
        self._planned = PlannedSteps(order, self._door.state) if order else None
        self.price.take_order(order)
        self.cover.take_order(order)
        self._door.tell()

    def for_person(
        self, clocks: Collection[ZoneClock], by: Person | None, at: datetime
    ) -> tuple[tuple[Recommendation, ...], Pause | None]:
        """Return what a person may begin now, the best first, and the pause that the plan has before it."""
        return recommended(self._door.state, self.order, clocks, by, at, self._closes_at(at))

    def next_of(
        self, people: Collection[Person], clocks: Collection[ZoneClock], at: datetime
    ) -> dict[Person, tuple[Recommendation | None, Pause | None]]:
        """Return for each person what the plan has next, or the pause before it."""
        return next_of(self._door.state, self.order, clocks, people, at, self._closes_at(at))

    def weighed(self, start: Start, at: datetime) -> Recommendation:
        """Return what speaks for and against beginning this now: of what the plan has next, what the board says.

        A part of that is weighed by itself: the plan counts on the whole, and what is left behind may close meanwhile.
        """
        clocks = self._door.clocks(at)
        found, _ = self.for_person(clocks, start.by, at)
        asked = {(start.job, start.step, zone) for zone in start.zones}
        planned = False
        for one in found:
            offered = {(one.advice.job, one.advice.step, z) for z in one.advice.zones}
            if one.planned and asked == offered:
                return self._told(one, start, at)
            planned = planned or (one.planned and asked < offered)
        advice = Advice(start.job, start.zones, start.step, Urgency.IDLE, None, at)
        by_itself = weighed(self._door.state, self.order, clocks, advice, start.by, at)
        return self._told(replace(by_itself, planned=planned), start, at)

    def planned_later(self, job: JobId, zone: ZoneId, step: StepId, at: datetime) -> PlannedLater | None:
        """Return how the plan holds back what comes next on a zone; None where it is its turn, or is not planned."""
        return self._planned.later(job, zone, step, self._door.state, at) if self._planned else None

    def told(self, found: Sequence[Recommendation], by: Person | None, at: datetime) -> tuple[Recommendation, ...]:
        """Return the first of these with what each would shut out, as far as that is known.

        What would close the way for others comes after what would not.
        """
        starts = [Start(one.advice.job, one.advice.zones, one.advice.step, by) for one in found[:LOOKED_AT]]
        told = [self._told(one, start, at) for one, start in zip(found, starts, strict=False)]
        return tuple(sorted(told, key=lambda one: one.shuts_out.closes_the_way))

    def closes_the_way(self, start: Start, at: datetime) -> bool:
        """Whether a touch that was offered would close the way for others; worked out now if that is not known."""
        return self.costs.certain(start, at).closes_the_way and self.weighed(start, at).shuts_out.closes_the_way

    def _heard_of(self, changes: Sequence[Change]) -> None:
        """Let go of a work order whose moments are not those of the board any more."""
        if any(isinstance(change.event, TimePutRight) for change in changes):
            self.order = None
            self.price.take_order(None)

    def _closes_at(self, at: datetime) -> Callable[[Start], bool]:
        return lambda start: self.costs.known(start, at).closes_the_way

    def _told(self, one: Recommendation, start: Start, at: datetime) -> Recommendation:
        """Return it with what it would shut out.

        Of a wait the plan knows already, where it finishes everything; what closes the way, and what would have to be
        wiped again, is told of the plan's own steps as well, for what comes before them in the plan may not be done.
        """
        cost = self.costs.known(start, at)
        if one.planned and self._plan_is_whole() and not cost.closes_the_way:
            return replace(one, shuts_out=ShutOut(spoils=cost.spoils)) if cost.spoils else one
        return replace(one, shuts_out=cost)

    def _plan_is_whole(self) -> bool:
        """Whether the plan finishes everything and keeps every wait."""
        order = self.order
        return order is not None and bool(order.steps) and not order.losses and not order.clash
