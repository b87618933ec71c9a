"""What the last touch turned out to cost, once the planner has thought it over: told while it can be undone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.bay.door import Change, Door
from bayapp.job import Start, Undo
from bayapp.job.model.ids import StepId
from bayapp.job.state.events import AirRead, AlertAnswered, StepStarted
from bayapp.job.state.state import BayState
from bayapp.planning.core.work_order import Loss, WorkOrder

WORTH_SAYING = timedelta(minutes=5)
"""Less is no more than what one plan differs from the next by."""
THOUGHT_OVER = timedelta(seconds=3)
"""How long the planner has to better its first answer before anybody hears of it."""
STILL_PLANNED = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Price:
    """What a touch cost that has just been made.

    Attributes:
        undo: takes it back.
        step: what was begun.
        later: how much later all is done than it would have been; none where only a window is lost.
        finish: when all is done now.
        losses: what comes too late now, and would not have.
        trouble: what is wrong with the plan now, where it cannot go on any more and could before.
    """

    undo: Undo
    step: StepId
    later: timedelta
    finish: datetime | None
    losses: tuple[Loss, ...]
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class _Touch:
    start: Start
    at: datetime
    before: WorkOrder


class PriceFound:
    """Holds the plan from before the last touch against the one that knows of it.

    Only a touch that nothing followed is compared: of two nobody could say which of them cost it.
    """

    def __init__(self, door: Door) -> None:
        self._door = door
        self._order: WorkOrder | None = None
        self._touch: _Touch | None = None
        self._price: Price | None = None
        self._followed = False
        door.follow(self._follow)

    def take_order(self, order: WorkOrder | None) -> None:
        """Compare the planner's newest work order, if it knows of the last touch and of nothing after it."""
        self._order, touch = order, self._touch
        if order is None or touch is None or self._followed or order.entry is None or order.entry < touch.at:
            return
        known = {loss.window for loss in touch.before.losses}
        losses = tuple(loss for loss in order.losses if loss.window not in known)
        later = timedelta()
        if order.finish and touch.before.finish and not _planned(touch):
            later = max(order.finish - touch.before.finish, timedelta())
        undo = Undo(touch.start.job, touch.start.zones, touch.start.by)
        trouble = order.trouble if order.stuck and not touch.before.stuck else ""
        price = Price(undo, touch.start.step, later, order.finish, losses, trouble)
        self._price = price if losses or trouble or later >= WORTH_SAYING else None

    def told(self, at: datetime) -> Price | None:
        """Return what the last touch cost, as long as one undo takes it back; None where it cost nothing."""
        touch, price = self._touch, self._price
        if touch is None or price is None or at < touch.at + THOUGHT_OVER:
            return None
        return price if _under_way(touch, self._door.state) else None

    def _follow(self, changes: Sequence[Change]) -> None:
        started = [change.event for change in changes if isinstance(change.event, StepStarted)]
        first, order = started[0] if started else None, self._order
        if first is None or first.job is None or first.implied:
            self._followed |= not all(isinstance(change.event, AlertAnswered | AirRead) for change in changes)
            return
        start = Start(first.job, tuple(event.zone for event in started), first.step, first.by)
        known = order is not None and bool(order.steps) and order.entry == changes[0].before.last_at
        self._price, self._followed = None, False
        self._touch = _Touch(start, first.at, order) if order and known else None


def _planned(touch: _Touch) -> bool:
    """Whether the plan had this next: if it began late, that was no fault of the touch."""
    start, zones = touch.start, set(touch.start.zones)
    return any(
        (step.job, step.step) == (start.job, start.step)
        and step.zone in zones
        and step.start <= touch.at + STILL_PLANNED
        for step in touch.before.steps
    )


def _under_way(touch: _Touch, state: BayState) -> bool:
    job = state.jobs.get(touch.start.job)
    runs = [job.zones[zone].running for zone in touch.start.zones] if job and job.closed_at is None else [None]
    return all(run is not None and run.started_at == touch.at for run in runs)
