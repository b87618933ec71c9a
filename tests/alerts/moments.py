"""Short names for instants and conditions in the tests of alerts."""

from datetime import UTC, datetime, timedelta

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind

START = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


def at(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


def opened(zone: str, since: float = 0, lapses: float | None = None, group: str | None = None) -> Condition:
    return condition(AlertKind.OPENED, zone, since, lapses, group)


def condition(
    kind: AlertKind, zone: str, since: float = 0, lapses: float | None = None, group: str | None = None
) -> Condition:
    return Condition(
        kind=kind,
        subject=f"job/{zone}/coat-2",
        group=group or f"job/{zone}",
        label=f"{zone}, layer two, {kind.value}",
        since=at(since),
        lapses_at=None if lapses is None else at(lapses),
    )
