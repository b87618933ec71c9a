"""The alerts that nobody has answered, in the words of one band."""

from dataclasses import dataclass

from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertState
from bayapp.job import Undo, UndoMove
from bayapp.job.model.ids import Urgency
from bayapp.text.language import _

MANY = 3


@dataclass(frozen=True, slots=True)
class Band:
    """The unanswered alerts: the most pressing in full, the others after it; one touch answers all.

    ``undo`` takes back a touch, and ``undo_text`` says what; ``passing``: it speaks of that alone, for a moment.
    """

    text: str
    others: str
    urgency: Urgency
    subjects: tuple[str, ...]
    may_snooze: bool
    undo: Undo | UndoMove | None = None
    undo_text: str = ""
    passing: bool = False


def band(
    alerts: tuple[Alert, ...],
    notice: str = "",
    urgency: Urgency = Urgency.WAITING,
    undo: Undo | UndoMove | None = None,
    undo_text: str = "",
) -> Band | None:
    """Return the unanswered alerts, the most pressing first and the missed ones marked, or None.

    Of several lapses the newest comes first: whoever is at the wall has seen the older ones. A second alert is shown in
    full, of more only their number: they could not be read from afar, and the clocks show them. A notice follows them;
    by itself it needs no answer; ``urgency`` is the notice's own, or that of a touch that was just made: it has its
    ``undo``, beside the alerts too.
    """
    if not alerts:
        if notice:
            return Band(notice, "", urgency, (), may_snooze=False, undo=undo, undo_text=undo_text)
        return Band(undo_text, "", urgency, (), may_snooze=False, undo=undo, passing=True) if undo else None
    newest = sorted(alerts, key=lambda a: a.condition.since, reverse=True)
    lapsed = [a for a in newest if a.condition.kind is AlertKind.LAPSED]
    rest = [a for a in reversed(newest) if a.condition.kind is not AlertKind.LAPSED]
    ordered = sorted([*lapsed, *rest], key=lambda a: -a.condition.kind.row.priority)
    labels = list(dict.fromkeys(_label_of(a) for a in ordered))
    others = labels[1:] if len(labels) < MANY else [_("and {count} more: see the clocks").format(count=len(labels) - 1)]
    may_snooze = any(a.state is AlertState.RAISED for a in alerts)
    subjects = tuple(a.condition.subject for a in alerts)
    return Band(
        labels[0],
        "; ".join([*others, *([notice] if notice else [])]),
        Urgency(ordered[0].condition.kind.row.shown_as),
        subjects,
        may_snooze,
        undo,
        undo_text,
    )


def _label_of(alert: Alert) -> str:
    if not alert.missed:
        return alert.condition.label
    return _("Came due while the screen was off: {label}").format(label=alert.condition.label)
