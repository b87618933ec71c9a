"""Withdraws alerts that a later reading of the air has made untrue."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.alerts.condition import Condition
from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertBook, refresh
from bayapp.job.clocks import clocks
from bayapp.job.gate.fold import apply, fold
from bayapp.job.model.ids import Urgency
from bayapp.job.moved_clocks import MovedClock, MovedClocks, moved_clocks
from bayapp.job.state.events import AirCorrected, AirRead, Event
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import capital, of_car, step_title, zones_title
from bayapp.text.language import _

READY = (AlertKind.OPENED, AlertKind.CLOSING)
REMEMBERED = timedelta(minutes=10)
"""How long ago a reading may have moved a wait to be mentioned again after a restart; by then the clocks show it."""

MOST_REMEMBERED = 5
"""How many entries about the air are examined for that; each needs every clock, and a start must be quick."""


@dataclass(frozen=True, slots=True)
class AfterRestart:
    """The state of a journal, the last reading that moved a wait, and the withdrawals that nobody has answered yet."""

    state: BayState
    moved_clocks: MovedClocks | None
    taken_back: tuple[Condition, ...]


def after_restart(events: Iterable[Event]) -> AfterRestart:
    """Return the journal's state and what its last minutes about the air still have to announce."""
    events = tuple(events)
    since = events[-1].at - REMEMBERED if events else None
    recent = [n for n, e in enumerate(events) if isinstance(e, AirRead | AirCorrected) and since and e.at >= since]
    first = recent[-MOST_REMEMBERED:][0] if recent else len(events)
    state = fold(events[:first])
    last: MovedClocks | None = None
    withdrawals: list[Condition] = []
    for event in events[first:]:
        before, state = state, apply(state, event)
        found = moved_clocks(before, event, state) if isinstance(event, AirRead | AirCorrected) else None
        if found:
            stood = refresh(AlertBook(), conditions(before, clocks(before, event.at), event.at), event.at)
            last, withdrawals = found, [*withdrawals, *withdraw(stood, found.moved, state, event.at)[1]]
    heard = {key for key, until in state.answers.items() if until is None}
    return AfterRestart(state, last, tuple(c for c in withdrawals if c.answer_key not in heard))


def withdraw(
    book: AlertBook, moved: Iterable[MovedClock], state: BayState, at: datetime
) -> tuple[AlertBook, tuple[Condition, ...]]:
    """Return the book without the alerts that these moves made untrue, and for each the condition to announce instead.

    This includes answered alerts: who heard that a layer is ready must hear that it is not.
    """
    moved = tuple(moved)
    found = [(alert, moves) for alert in book.alerts if (moves := [m for m in moved if _untrue(alert, m)])]
    gone = {alert.condition.subject for alert, _moves in found}
    kept = tuple(alert for alert in book.alerts if alert.condition.subject not in gone)
    return replace(book, alerts=kept), tuple(_instead(alert, moves, state, at) for alert, moves in found)


def _untrue(alert: Alert, moved: MovedClock) -> bool:
    condition = alert.condition
    if condition.job != moved.job or moved.zone not in condition.zones:
        return False
    if condition.kind in READY:
        return moved.now.urgency is Urgency.WAITING
    was_late = condition.kind is AlertKind.LAPSED and moved.was.urgency is Urgency.LAPSED
    return was_late and moved.now.urgency is not Urgency.LAPSED


def _instead(alert: Alert, moves: list[MovedClock], state: BayState, at: datetime) -> Condition:
    job = state.jobs[moves[0].job].job
    zones = tuple(m.zone for m in moves)
    sentence = _(alert.condition.kind.row.withdrawn)
    step = step_title(job.recipe_of(zones[0]), moves[0].step)
    label = of_car(job, capital(sentence.format(zones=zones_title(job, zones), step=step)), len(state.open_jobs))
    subject = f"air/{alert.condition.subject}/{at.isoformat()}"
    return Condition(AlertKind.ATTENTION, subject, "air", label, at, job=job.id, zones=zones)
