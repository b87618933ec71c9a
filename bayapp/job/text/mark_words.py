"""What marks on zones are called, and what each of them forbids, in words for wall, terminal and paper."""

from collections.abc import Iterable
from datetime import UTC, datetime, tzinfo

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind
from bayapp.job.state.state import JobState
from bayapp.job.text.naming import capital, with_note
from bayapp.job.waits.bans import hardens
from bayapp.text.days import day_text
from bayapp.text.language import _


def kind_title(kind: MarkKind) -> str:
    """Return what a kind of mark is called."""
    return {
        MarkKind.DAMAGE: _("damage"),
        MarkKind.MATT: _("matt finish"),
        MarkKind.FILM: _("film or wrap"),
        MarkKind.REPAINTED: _("repainted"),
        MarkKind.SENSOR: _("sensor or radar cover"),
        MarkKind.LEAVE: _("leave alone"),
    }[kind]


def damage_title(what: Damage) -> str:
    """Return what a damage is called."""
    return {
        Damage.SCRATCH: _("scratch"),
        Damage.CHIP: _("chip"),
        Damage.DENT: _("dent"),
        Damage.STAIN: _("stain"),
        Damage.CRACK: _("crack"),
        Damage.SWIRL: _("swirls"),
        Damage.HIGH_SPOT: _("high spot of an old coat"),
    }[what]


def mark_title(mark: Mark) -> str:
    """Return what a mark says in a few words: "scratch", "matt finish", "repainted, 16 Nov 2026"."""
    if mark.what is not None:
        return damage_title(mark.what)
    title = kind_title(mark.kind)
    return _("{mark}, {day}").format(mark=title, day=day_text(mark.date)) if mark.date else title


def mark_text(mark: Mark) -> str:
    """Return what a mark says, with what was noted."""
    title = mark_title(mark)
    return _("{mark}: {note}").format(mark=title, note=mark.note) if mark.note else title


def forbidden_by_kind(kind: MarkKind) -> str:
    """Return what a kind of mark forbids; common practice, no source."""
    return {
        MarkKind.DAMAGE: _("nothing is forbidden"),
        MarkKind.MATT: _("no polish"),
        MarkKind.FILM: _("only recipes made for film"),
        MarkKind.REPAINTED: _("no coat until it has hardened"),
        MarkKind.SENSOR: _("no coat"),
        MarkKind.LEAVE: _("nothing is done to it"),
    }[kind]


def marks_in_brief(marks: Iterable[Mark]) -> str:
    """Return what marks say, each title once: "matt finish, scratch"."""
    return ", ".join(dict.fromkeys(mark_title(mark) for mark in marks))


def forbids_text(job: JobState, zone: ZoneId, mark: Mark, at: datetime, tz: tzinfo = UTC) -> str:
    """Return what a mark keeps from its zone, of a repaint with the day from which that is over; empty of damage."""
    if mark.kind is MarkKind.DAMAGE:
        return ""
    hardened = hardens(job, zone, mark) if mark.kind is MarkKind.REPAINTED else None
    if hardened is None:
        return forbidden_by_kind(mark.kind)
    words = _("no coat before {day}") if at < hardened.at else _("takes a coat since {day}")
    return words.format(day=day_text(hardened.at.astimezone(tz).date()))


def mark_line(job: JobState, zone: ZoneId, mark: Mark, at: datetime, tz: tzinfo = UTC) -> str:
    """Return a mark as one line, with what it forbids and what was noted."""
    forbids = forbids_text(job, zone, mark, at, tz)
    said = _("{mark}: {forbids}.") if forbids else _("{mark}.")
    return with_note(capital(said.format(mark=mark_title(mark), forbids=forbids)), mark.note)


def mark_lines(job: JobState, zones: Iterable[ZoneId], at: datetime, tz: tzinfo = UTC) -> tuple[str, ...]:
    """Return the lines of all marks on these zones; of those that several have in the same words, one."""
    found = (mark_line(job, zone, mark, at, tz) for zone in zones for mark in job.marks.get(zone, ()))
    return tuple(dict.fromkeys(found))
