"""When raised alerts are sounded, joined and repeated.

``speed`` is how many seconds of the bay pass in one real second, more than 0. Ears hear in real time: joins and
repeats last as long for them in fast practice as on a working day. A snooze is time of the bay, as the lapse is.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertBook, AlertState
from bayapp.alerts.repeats import LAST_CHANCE, Repeat

JOIN = timedelta(seconds=1.5)


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


def call_due(book: AlertBook, now: datetime, speed: float = 1.0) -> Call | None:
    """Return the call to sound right now, or None.

    Everything due within the next 1.5 s is joined, and so are the raised alerts of the same kind and group.
    Reminders come together, and a new alert takes along what has slowed down or fallen silent.
    A call that has just begun is left to end unless something more urgent falls due.
    After sounding, pass the call to ``note_call``.
    """
    if not any(_earliest(book, alert, due, speed) <= now for alert, due in _pending(book, speed)):
        return None
    due = _due(book, now, speed)
    spoken = sorted(_spoken_for(book, due), key=_speaking_order)
    return Call(
        at=now,
        kind=max((alert.condition.kind for alert in due), key=_priority),
        level=max(_repeat(alert).loudness(alert.calls) for alert in due),
        conditions=tuple(alert.condition for alert in spoken),
        missed=any(alert.missed and alert.calls == 0 for alert in due),
    )


def note_call(book: AlertBook, call: Call, speed: float = 1.0) -> AlertBook:
    """Write down that a call was sounded: its alerts begin their next interval."""
    due = _due(book, call.at, speed)
    spoken = _spoken_for(book, due)
    alerts = tuple(_called(alert, call.at, alert in due) if alert in spoken else alert for alert in book.alerts)
    return replace(book, alerts=alerts, called_at=call.at, called_kind=call.kind)


def next_call_at(book: AlertBook, now: datetime, speed: float = 1.0) -> datetime | None:
    """Return when ``call_due`` will next have something to say (now at the earliest), or None."""
    moments = [_earliest(book, alert, due, speed) for alert, due in _pending(book, speed)]
    return max(now, min(moments)) if moments else None


def call_again(book: AlertBook, now: datetime) -> AlertBook:
    """Return the book when somebody touches the wall: what has slowed down or fallen silent calls again, one interval
    from now."""
    return replace(book, alerts=tuple(_afresh(alert, now) if _left_alone(alert) else alert for alert in book.alerts))


def _afresh(alert: Alert, now: datetime) -> Alert:
    return replace(alert, calls=_repeat(alert).afresh(alert.calls), called_at=now)


def _priority(kind: AlertKind) -> int:
    return kind.row.priority


def _repeat(alert: Alert) -> Repeat:
    return alert.condition.kind.row.repeat


def _left_alone(alert: Alert) -> bool:
    return alert.state is AlertState.RAISED and (
        _repeat(alert).has_called_enough(alert.calls) or _repeat(alert).is_slow(alert.calls)
    )


def _pending(book: AlertBook, speed: float) -> list[tuple[Alert, datetime]]:
    return [(alert, due) for alert in book.alerts if (due := _due_at(alert, speed)) is not None]


def _due_at(alert: Alert, speed: float) -> datetime | None:
    if alert.state is AlertState.SNOOZED:
        return alert.snoozed_until
    if alert.state is not AlertState.RAISED:
        return None
    if alert.called_at is None:
        return alert.raised_at
    interval = _repeat(alert).interval(alert.calls)
    if interval is None:
        return None
    due = alert.called_at + interval * speed
    return min(due, _last_chance(alert, alert.called_at, speed)) if _left_alone(alert) else due


def _last_chance(alert: Alert, called_at: datetime, speed: float) -> datetime:
    """Return when one that slowed down must be called because its lapse is near; far off where that does not matter."""
    condition = alert.condition
    if not condition.kind.row.hurries_before_lapse or condition.lapses_at is None:
        return datetime.max.replace(tzinfo=UTC)
    return max(called_at + _repeat(alert).floor * speed, condition.lapses_at - LAST_CHANCE)


def _earliest(book: AlertBook, alert: Alert, due: datetime, speed: float) -> datetime:
    """Return when an alert may sound: after the call in progress, unless it is more urgent than that."""
    if book.called_at is None or book.called_kind is None:
        return due
    if _priority(alert.condition.kind) > _priority(book.called_kind):
        return due
    return max(due, book.called_at + JOIN * speed)


def _due(book: AlertBook, now: datetime, speed: float) -> tuple[Alert, ...]:
    return tuple(alert for alert, due in _pending(book, speed) if due <= now + JOIN * speed)


def _spoken_for(book: AlertBook, due: tuple[Alert, ...]) -> tuple[Alert, ...]:
    """Add the alerts called along with these: of the same kind and group (a set is called once), or left alone."""
    sets = {(alert.condition.group, alert.condition.kind) for alert in due}
    return tuple(
        alert
        for alert in book.alerts
        if alert in due
        or (alert.state is AlertState.RAISED and (alert.condition.group, alert.condition.kind) in sets)
        or _comes_along(alert, due)
    )


def _comes_along(alert: Alert, due: tuple[Alert, ...]) -> bool:
    """Whether an alert left alone is called again: with a new one, or a reminder with a reminder."""
    if not _left_alone(alert):
        return False
    if any(other.calls == 0 for other in due):
        return True
    return _repeat(alert).is_slow(alert.calls) and any(_left_alone(other) for other in due)


def _speaking_order(alert: Alert) -> tuple[int, datetime, str]:
    return -_priority(alert.condition.kind), alert.condition.since, alert.condition.subject


def _called(alert: Alert, at: datetime, was_due: bool) -> Alert:
    """Only a call of its own makes an alert louder and its interval shorter, not one that it rides along with.

    A snooze was somebody's answer: what comes back from it calls at full pace again.
    """
    calls = _repeat(alert).afresh(alert.calls) if alert.state is AlertState.SNOOZED else alert.calls
    calls = calls + 1 if was_due else calls
    return replace(alert, state=AlertState.RAISED, snoozed_until=None, called_at=at, calls=calls)
