"""A planner made by hand: one zone after the other, five minutes a step. Stands in for the search, and obeys a test."""

from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Event

from bayapp.job import BayState
from bayapp.planning.core.effort import USUAL, Effort
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.planning.from_bay.shop import Shop

STEP = timedelta(minutes=5)


class HandPlanner:
    """Tells a first order, and returns it at once, or once it is stopped where it ``waits``.

    Attributes:
        calls: state, instant, shop and last order of each call.
        begun: set when a search has reported its first order.
    """

    def __init__(self, waits: bool = False) -> None:
        self.waits = waits
        self.calls: list[tuple[BayState, datetime, Shop, WorkOrder | None]] = []
        self.begun = Event()

    def __call__(
        self,
        state: BayState,
        at: datetime,
        shop: Shop,
        effort: Effort = USUAL,
        *,
        last: WorkOrder | None = None,
        on_better: Callable[[WorkOrder], None] | None = None,
    ) -> WorkOrder:
        self.calls.append((state, at, shop, last))
        order = one_by_one(state, at)
        if on_better:
            on_better(order)
        self.begun.set()
        while self.waits and not effort.stopped():
            Event().wait(0.01)
        return order


def one_by_one(state: BayState, at: datetime) -> WorkOrder:
    """Return the order in which each zone is done to its end before the next one is begun."""
    steps, begin = [], at
    for job in state.open_jobs:
        for zone, block in job.job.block_of.items():
            for step in block.recipe.step:
                person = job.job.crew[0] if job.job.crew else None
                facts = {"job": job.job.id, "zone": zone, "step": step.id, "person": person}
                steps.append(PlannedStep.model_validate({**facts, "start": begin, "end": begin + STEP}))
                begin += STEP
    return WorkOrder(
        status="feasible",
        made_for=at,
        entry=state.last_at,
        steps=tuple(steps),
        finish=begin,
        bound=at,
        one_by_one=begin,
    )
