"""The life of an alert: raised, acknowledged, cleared, snoozed.

The states are those of alarm-management practice (IEC 62682 / ISA-18.2). "Returned to normal,
unacknowledged" is the state ``cleared``: the alert is silent, but stays in the book until somebody
acknowledges it, so that nothing raised is lost. An acknowledged alert whose condition goes is dropped.
A person who starts the step an alert asks for has acknowledged it: the caller says so before ``refresh``.
"""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from bayapp.alerts.condition import Condition, track
from bayapp.alerts.kinds import AlertKind

LONGEST_SNOOZE = timedelta(minutes=10)
SNOOZE_MARGIN = timedelta(seconds=30)


class AlertState(StrEnum):
    """Where an alert stands in its life."""

    RAISED = "raised"
    ACKNOWLEDGED = "acknowledged"
    CLEARED = "cleared"
    SNOOZED = "snoozed"


@dataclass(frozen=True, slots=True)
class Alert:
    """One condition that was raised, and what people have done about it.

    ``missed`` means that it came due while the screen was off. ``calls`` counts the times it fell due
    and was sounded, ``called_at`` is the last time it was heard.
    """

    condition: Condition
    state: AlertState
    raised_at: datetime
    acknowledged_at: datetime | None = None
    snoozed_until: datetime | None = None
    missed: bool = False
    calls: int = 0
    called_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AlertBook:
    """Every alert that still matters, in the order of its key, and the call that was sounded last."""

    alerts: tuple[Alert, ...] = ()
    called_at: datetime | None = None
    called_kind: AlertKind | None = None


def refresh(
    book: AlertBook, conditions: Iterable[Condition], now: datetime, off_since: datetime | None = None
) -> AlertBook:
    """Bring the book in line with what is true now.

    New conditions raise, gone ones clear, a later stage of a wait supersedes an earlier one. With
    ``off_since`` a condition that came true in ``off_since < since <= now`` raises as missed.
    """
    held = {track(alert.condition): _not_ahead_of(alert, now) for alert in book.alerts}
    true_now = _one_per_track(conditions)
    after = {key: _follow(held.get(key), condition, now, off_since) for key, condition in true_now.items()}
    gone = {key: _clear(alert) for key, alert in held.items() if key not in true_now and not _settled(alert)}
    alerts = tuple(alert for _, alert in sorted((after | gone).items(), key=lambda item: item[0]))
    called_at = min(book.called_at, now) if book.called_at else None
    return replace(book, alerts=alerts, called_at=called_at)


def acknowledge(book: AlertBook, subjects: Collection[str], now: datetime) -> AlertBook:
    """Silence every alert of these subjects; a cleared one leaves the book."""
    kept = tuple(a for a in book.alerts if not (a.state is AlertState.CLEARED and a.condition.subject in subjects))
    return _change(replace(book, alerts=kept), subjects, lambda alert: _acknowledged(alert, now))


def snooze(book: AlertBook, subjects: Collection[str], now: datetime, minutes: float) -> AlertBook:
    """Silence these subjects for a while: at most 10 minutes, and back 30 s before the lapse at the latest.

    Where less than those 30 s are left the alert stays raised. Only raised and snoozed alerts change.

    Raises:
        ValueError: ``minutes`` is not above zero.
    """
    if not minutes > 0:
        raise ValueError(f"a snooze lasts more than 0 minutes, not {minutes}")
    until = now + timedelta(minutes=min(minutes, LONGEST_SNOOZE / timedelta(minutes=1)))
    return _change(book, subjects, lambda alert: _snoozed(alert, until, now))


def _one_per_track(conditions: Iterable[Condition]) -> dict[tuple[str, str], Condition]:
    """Keep the furthest stage of each wait, whatever the order in which conditions come."""
    return {track(condition): condition for condition in sorted(conditions, key=_weight)}


def _weight(condition: Condition) -> tuple[int, float, datetime, str, str]:
    """Order rival conditions of one track: the later stage, then the earlier lapse, weighs more."""
    lapse = condition.lapses_at.timestamp() if condition.lapses_at else float("inf")
    return condition.kind.row.stage, -lapse, condition.since, condition.label, condition.group


def _follow(alert: Alert | None, condition: Condition, now: datetime, off_since: datetime | None) -> Alert:
    if alert is None or _is_news(alert, condition):
        missed = off_since is not None and off_since < condition.since <= now
        return _in_rhythm(alert, Alert(condition, AlertState.RAISED, raised_at=now, missed=missed))
    state = AlertState.RAISED if alert.state is AlertState.CLEARED else alert.state
    # Changing air may have moved the lapse forward under a running snooze.
    until = _before_lapse(condition, alert.snoozed_until) if alert.snoozed_until else None
    return replace(alert, condition=condition, state=state, snoozed_until=until)


def _in_rhythm(before: Alert | None, alert: Alert) -> Alert:
    """Let a condition that comes and goes unacknowledged sound no sooner than its next repeat."""
    if before is None or before.state is not AlertState.CLEARED or before.condition.kind is not alert.condition.kind:
        return alert
    return replace(alert, calls=before.calls, called_at=before.called_at)


def _is_news(alert: Alert, condition: Condition) -> bool:
    """Say whether the condition is a later stage, or came true again after the alert was raised."""
    return condition.kind.row.stage > alert.condition.kind.row.stage or condition.since > alert.raised_at


def _clear(alert: Alert) -> Alert:
    return replace(alert, state=AlertState.CLEARED, snoozed_until=None)


def _settled(alert: Alert) -> bool:
    return alert.state is AlertState.ACKNOWLEDGED


def _acknowledged(alert: Alert, now: datetime) -> Alert:
    if _settled(alert):
        return alert
    return replace(alert, state=AlertState.ACKNOWLEDGED, acknowledged_at=now, snoozed_until=None)


def _snoozed(alert: Alert, until: datetime, now: datetime) -> Alert:
    until = _before_lapse(alert.condition, until)
    if alert.state not in (AlertState.RAISED, AlertState.SNOOZED) or until <= now:
        return alert
    return replace(alert, state=AlertState.SNOOZED, snoozed_until=until)


def _before_lapse(condition: Condition, until: datetime) -> datetime:
    if condition.lapses_at is None or condition.kind is AlertKind.LAPSED:
        return until
    return min(until, condition.lapses_at - SNOOZE_MARGIN)


def _not_ahead_of(alert: Alert, now: datetime) -> Alert:
    """Pull marks back to now after the system clock was set back, so that no alert waits for lost time."""
    called_at = min(alert.called_at, now) if alert.called_at else None
    until = min(alert.snoozed_until, now + LONGEST_SNOOZE) if alert.snoozed_until else None
    return replace(alert, raised_at=min(alert.raised_at, now), called_at=called_at, snoozed_until=until)


def _change(book: AlertBook, subjects: Collection[str], change: Callable[[Alert], Alert]) -> AlertBook:
    alerts = (change(alert) if alert.condition.subject in subjects else alert for alert in book.alerts)
    return replace(book, alerts=tuple(alerts))
