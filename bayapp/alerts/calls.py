"""When raised alerts are sounded, joined and repeated. Knows no clock and no sound device."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.alerts.condition import AlertKind, Condition, urgency
from bayapp.alerts.lifecycle import Alert, AlertBook, AlertState

JOIN = timedelta(seconds=1.5)


@dataclass(frozen=True, slots=True)
class Repeat:
    """How an unacknowledged alert insists: the first interval, its floor, and the level of the first call."""

    first: timedelta
    floor: timedelta
    level: float

    def interval(self, calls: int) -> timedelta:
        """Return the longest silence after the given number of calls (1 or more)."""
        shrunk: timedelta = self.first * 0.75 ** max(calls - 1, 0)
        return max(self.floor, shrunk)

    def loudness(self, calls: int) -> float:
        """Return the level, 0 to 1, of the call that follows the given number of calls."""
        return min(1.0, self.level + 0.1 * calls)


def _seconds(first: float, floor: float, level: float) -> Repeat:
    return Repeat(timedelta(seconds=first), timedelta(seconds=floor), level)


# Ten seconds is the shortest: an alarm that nags faster is switched off (common practice, no source).
REPEATS = {
    AlertKind.OPENED: _seconds(60, 30, 0.5),
    AlertKind.CLOSING: _seconds(20, 10, 0.7),
    AlertKind.LAPSED: _seconds(30, 15, 0.7),
    AlertKind.ATTENTION: _seconds(45, 20, 0.6),
    AlertKind.CURED: _seconds(300, 120, 0.4),
    AlertKind.HANDOVER: _seconds(300, 120, 0.4),
}


@dataclass(frozen=True, slots=True)
class Call:
    """One sounding: the most urgent kind's tone at a level, for every condition that it speaks for."""

    at: datetime
    kind: AlertKind
    level: float
    conditions: tuple[Condition, ...]
    missed: bool

    @property
    def labels(self) -> tuple[str, ...]:
        """Return the sentences to show and speak, the most urgent first, each once."""
        return tuple(dict.fromkeys(condition.label for condition in self.conditions))

    @property
    def subjects(self) -> frozenset[str]:
        """Return what one touch on this call acknowledges."""
        return frozenset(condition.subject for condition in self.conditions)


def call_due(book: AlertBook, now: datetime) -> Call | None:
    """Return the call to sound right now, or None.

    Everything due within the next 1.5 s is joined, and so are the raised alerts of the same kind and group.
    A call that has just begun is left to end unless something more urgent falls due.
    After sounding, pass the call to ``note_call``.
    """
    if not any(_earliest(book, alert, due) <= now for alert, due in _pending(book)):
        return None
    due = _due(book, now)
    spoken = sorted(_spoken_for(book, due), key=_speaking_order)
    return Call(
        at=now,
        kind=max((alert.condition.kind for alert in due), key=urgency),
        level=max(REPEATS[alert.condition.kind].loudness(alert.calls) for alert in due),
        conditions=tuple(alert.condition for alert in spoken),
        missed=any(alert.missed and alert.calls == 0 for alert in due),
    )


def note_call(book: AlertBook, call: Call) -> AlertBook:
    """Write down that a call was sounded: its alerts begin their next interval."""
    due = _due(book, call.at)
    spoken = _spoken_for(book, due)
    alerts = tuple(_heard(alert, call.at, alert in due) if alert in spoken else alert for alert in book.alerts)
    return replace(book, alerts=alerts, called_at=call.at, called_kind=call.kind)


def next_call_at(book: AlertBook, now: datetime) -> datetime | None:
    """Return when ``call_due`` will next have something to say (now at the earliest), or None."""
    moments = [_earliest(book, alert, due) for alert, due in _pending(book)]
    return max(now, min(moments)) if moments else None


def _pending(book: AlertBook) -> list[tuple[Alert, datetime]]:
    return [(alert, due) for alert in book.alerts if (due := _due_at(alert)) is not None]


def _due_at(alert: Alert) -> datetime | None:
    if alert.state is AlertState.SNOOZED:
        return alert.snoozed_until
    if alert.state is not AlertState.RAISED:
        return None
    if alert.called_at is None:
        return alert.raised_at
    return alert.called_at + REPEATS[alert.condition.kind].interval(alert.calls)


def _earliest(book: AlertBook, alert: Alert, due: datetime) -> datetime:
    """Return when an alert may sound: after the call in progress, unless it is more urgent than that."""
    if book.called_at is None or book.called_kind is None:
        return due
    if urgency(alert.condition.kind) > urgency(book.called_kind):
        return due
    return max(due, book.called_at + JOIN)


def _due(book: AlertBook, now: datetime) -> tuple[Alert, ...]:
    return tuple(alert for alert, due in _pending(book) if due <= now + JOIN)


def _spoken_for(book: AlertBook, due: tuple[Alert, ...]) -> tuple[Alert, ...]:
    """Add the raised alerts of the same kind and group: a set is called once, not zone by zone."""
    sets = {(alert.condition.group, alert.condition.kind) for alert in due}
    return tuple(
        alert
        for alert in book.alerts
        if alert in due or (alert.state is AlertState.RAISED and (alert.condition.group, alert.condition.kind) in sets)
    )


def _speaking_order(alert: Alert) -> tuple[int, datetime, str]:
    return -urgency(alert.condition.kind), alert.condition.since, alert.condition.subject


def _heard(alert: Alert, at: datetime, was_due: bool) -> Alert:
    """Only a call of its own makes an alert louder and its interval shorter, not one that it rides along with."""
    calls = alert.calls + 1 if was_due else alert.calls
    return replace(alert, state=AlertState.RAISED, snoozed_until=None, called_at=at, calls=calls)
