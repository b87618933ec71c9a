"""What can be called out: the conditions that raise alerts."""

from dataclasses import dataclass
from datetime import datetime

from bayapp.alerts.kinds import AlertKind
from bayapp.job.model.ids import JobId, ZoneId

_BY_URGENCY = (
    AlertKind.CURED,
    AlertKind.HANDOVER,
    AlertKind.OPENED,
    AlertKind.ATTENTION,
    AlertKind.LAPSED,
    AlertKind.CLOSING,
)
_STAGES = (AlertKind.OPENED, AlertKind.CLOSING, AlertKind.LAPSED)


@dataclass(frozen=True, slots=True)
class Condition:
    """Something that is true now and that a person should act on.

    ``subject`` is a stable key such as ``"job/block/step/instant"``; ``group`` joins the waits of a set or work
    block, so that a set is called once; ``label`` is the sentence to show and to speak. ``since`` and
    ``lapses_at`` are aware UTC instants. ``zones`` are those of ``job`` that it speaks for; working on one of
    them answers it.
    """

    kind: AlertKind
    subject: str
    group: str
    label: str
    since: datetime
    lapses_at: datetime | None = None
    job: JobId | None = None
    zones: tuple[ZoneId, ...] = ()


def urgency(kind: AlertKind) -> int:
    """Rank a kind; the greater is called first.

    Closing ranks above lapsed: what can still be saved comes before what is already lost (priority from
    consequence and time left to act, as in IEC 62682; from memory).
    """
    return _BY_URGENCY.index(kind)


def stage(kind: AlertKind) -> int:
    """Rank the kinds that one wait runs through (opened, closing, lapsed); 0 for every other kind."""
    return _STAGES.index(kind) if kind in _STAGES else 0


def track(condition: Condition) -> tuple[str, str]:
    """Return the key under which at most one alert lives: the stages of one wait share it."""
    return condition.subject, "wait" if condition.kind in _STAGES else condition.kind.value
