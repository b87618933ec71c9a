"""Takes back what was called and is not so after all, because the air was read anew. Knows no clock and no sound."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from bayapp.alerts.condition import AlertKind, Condition
from bayapp.alerts.lifecycle import Alert, AlertBook
from bayapp.job.language import _
from bayapp.job.naming import capital, of_car, step_title, zones_title
from bayapp.job.retimed import Moved
from bayapp.job.state import BayState
from bayapp.job.words import Urgency

READY = (AlertKind.OPENED, AlertKind.CLOSING)


def withdraw(
    book: AlertBook, moved: Iterable[Moved], state: BayState, at: datetime
) -> tuple[AlertBook, tuple[Condition, ...]]:
    """Return the book without the alerts that these moves made untrue, and for each what people must be told instead.

    Also where somebody has answered it: who heard that a layer is ready must hear that it is not.
    """
    moved = tuple(moved)
    found = [(alert, moves) for alert in book.alerts if (moves := [m for m in moved if _untrue(alert, m)])]
    gone = {alert.condition.subject for alert, _moves in found}
    kept = tuple(alert for alert in book.alerts if alert.condition.subject not in gone)
    return replace(book, alerts=kept), tuple(_instead(alert, moves, state, at) for alert, moves in found)


def _untrue(alert: Alert, moved: Moved) -> bool:
    condition = alert.condition
    if condition.job != moved.job or moved.zone not in condition.zones:
        return False
    if condition.kind in READY:
        return moved.now.urgency is Urgency.WAITING
    was_late = condition.kind is AlertKind.LAPSED and moved.was.urgency is Urgency.LAPSED
    return was_late and moved.now.urgency is not Urgency.LAPSED


def _instead(alert: Alert, moves: list[Moved], state: BayState, at: datetime) -> Condition:
    job = state.jobs[moves[0].job].job
    zones = tuple(m.zone for m in moves)
    ready = alert.condition.kind in READY
    said = _("{zones}, {step} is not ready after all") if ready else _("{zones}, {step} is not too late after all")
    step = step_title(job.recipe_of(zones[0]), moves[0].step)
    label = of_car(job, capital(said.format(zones=zones_title(job, zones), step=step)), len(state.open_jobs))
    subject = f"air/{alert.condition.subject}/{at.isoformat()}"
    return Condition(AlertKind.ATTENTION, subject, "air", label, at, job=job.id, zones=zones)
