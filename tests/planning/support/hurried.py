"""The planner as it is met when the bay runs sixty times faster: a first order soon, the best one if nobody presses."""

from datetime import datetime, timedelta

from bayapp.job import BayState
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.planning.support.driver import LatePlanner

SPEED = 60
FIRST = timedelta(seconds=0.5) * SPEED
BEST = timedelta(seconds=5) * SPEED
SEARCH_S = 1.5
"""Less than the wall gives it, for twenty days must pass in minutes."""
PATIENCE = 30.0
"""A slow or busy computer does the same work, so that a day that went wrong goes wrong again."""


class _HeardError(Exception):
    """The first order has been heard."""


def first(state: BayState, at: datetime, last: WorkOrder | None) -> WorkOrder:
    """Return the order that the planner passes on before any search."""
    on_better: list[WorkOrder] = []

    def hear(order: WorkOrder) -> None:
        on_better.append(order)
        raise _HeardError

    try:
        return plan_work(state, at, Shop(), Effort(workers=1), last=last, on_better=hear)
    except _HeardError:
        return on_better[0]


def best(state: BayState, at: datetime, last: WorkOrder | None) -> WorkOrder:
    """Return what the planner ends with."""
    return plan_work(state, at, Shop(), Effort(SEARCH_S, workers=1, patience=PATIENCE), last=last)


def hurried() -> LatePlanner:
    """Return a planner for a bay that runs sixty times faster."""
    return LatePlanner((FIRST, first), (BEST, best))
