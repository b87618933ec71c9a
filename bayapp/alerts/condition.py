"""The conditions that raise alerts."""

from dataclasses import dataclass
from datetime import datetime

from bayapp.alerts.kinds import AlertKind
from bayapp.job.model.ids import JobId, ZoneId


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

    @property
    def answer_key(self) -> str:
        """What an answer is recorded under: closing is asked anew although opened was answered."""
        return f"{self.kind}|{self.subject}"


def track(condition: Condition) -> tuple[str, str]:
    """Return the key under which at most one alert lives: the stages of one wait share it."""
    return condition.subject, "wait" if condition.kind.row.stage else condition.kind.value
