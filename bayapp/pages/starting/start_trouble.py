"""Why the wall cannot start, and the ways on from there."""

from dataclasses import dataclass
from datetime import datetime, tzinfo
from enum import Enum, StrEnum
from pathlib import Path

from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import settings_file
from bayapp.record import CutStore, DamagedStore, NewerStore, StoreInUse, StoreProblem
from bayapp.record.kept_backups import KeptBackup
from bayapp.text.figures import day_and_time, length_text
from bayapp.text.language import _, ngettext
from bayapp.time_zone import UnknownZoneError


class Looking(Enum):
    """What is known of backups while they are looked for."""

    LOOKING = "looking"


Backup = KeptBackup | Looking | None
"""The newest good backup, or that it is still looked for, or that there is none."""


class Way(StrEnum):
    """A way on from a start that failed."""

    AGAIN = "again"
    RESTORE = "restore"
    EMPTY = "empty"
    CUT = "cut"
    WITHOUT_SETTINGS = "without-settings"
    WITHOUT_CAR = "without-car"
    WITHOUT_ZONE = "without-zone"
    LEAVE = "leave"


WITHOUT = frozenset({Way.WITHOUT_SETTINGS, Way.WITHOUT_CAR, Way.WITHOUT_ZONE})
"""The ways that go on and leave something out until the next start."""


@dataclass(frozen=True, slots=True)
class StartTrouble:
    """What the window of a failed start says.

    Attributes:
        title: what it is, in a few words.
        sentences: what happened, where, and what to do.
        ways: the ways on, besides trying again and leaving.
        needs_backup: whether the newest good backup is looked for and offered.
        mends_itself: whether it may be over by itself, so that it is tried again every few seconds.
        asked_for: nothing has failed: somebody at the board asked for it.
    """

    title: str
    sentences: tuple[str, ...]
    ways: tuple[Way, ...] = ()
    needs_backup: bool = False
    mends_itself: bool = True
    asked_for: bool = False


@dataclass(frozen=True, slots=True)
class WayButton:
    """A button for a way on; ``hold``: it replaces something, or leaves the wall dark."""

    way: Way
    title: str
    hold: bool = False


def trouble_of(failed: Exception, said: str, store: Path) -> StartTrouble:
    """Return what to say of a start that failed; ``said`` is what the terminal was told of it."""
    if isinstance(failed, StoreProblem):
        return _of_store(failed)
    if isinstance(failed, BadFile):
        return _of_file(failed, store)
    if isinstance(failed, UnknownZoneError):
        return StartTrouble(
            _("No time zone"),
            (
                _("This machine has no time zone, or one that is not known."),
                _("Set it on this machine: timedatectl set-timezone Continent/City."),
                _("No wait depends on it: it only decides which times of day are shown."),
            ),
            (Way.WITHOUT_ZONE,),
        )
    if isinstance(failed, OSError):
        remedy = _("Give this user the right to it, make room on the disk, or plug the disk in again.")
        return StartTrouble(_("bayapp cannot start"), (said, remedy))
    if isinstance(failed, ImportError):
        return StartTrouble(_("bayapp cannot start"), (said,))
    report = _("Please report it. A start once more may work; a start with another store will tell where the fault is.")
    return StartTrouble(_("A fault of bayapp's own"), (said, report), mends_itself=False)


def restore_asked_for() -> StartTrouble:
    """Return what is said where somebody at the board asked to put a backup back."""
    what = _("The journal that is here is kept aside, and what was recorded after the backup is missing then.")
    return StartTrouble(_("Put a backup back"), (what,), needs_backup=True, mends_itself=False, asked_for=True)


def _of_store(problem: StoreProblem) -> StartTrouble:
    where = _("{what} ({where})").format(what=problem.what, where=problem.where)
    if isinstance(problem, CutStore):
        lost = _("What is there is whole. To go on from it: look at each car first, for what was done there last.")
        return StartTrouble(
            _("The end of the journal is missing"), (where, lost), (Way.CUT,), needs_backup=True, mends_itself=False
        )
    if isinstance(problem, DamagedStore):
        kept = _("What is there stays: a restore lays it aside and deletes nothing.")
        return StartTrouble(
            _("The journal is damaged"), (where, kept), (Way.EMPTY,), needs_backup=True, mends_itself=False
        )
    if isinstance(problem, NewerStore):
        older = _("Or put back a backup that this bayapp can read: what was entered since is then missing.")
        return StartTrouble(
            _("The journal is of a newer bayapp"),
            (where, problem.remedy, older),
            needs_backup=True,
            mends_itself=False,
        )
    if isinstance(problem, StoreInUse):
        return StartTrouble(_("Another bayapp is open"), (where, problem.remedy))
    return StartTrouble(_("The store cannot be used"), (where, problem.remedy))


def _of_file(bad: BadFile, store: Path) -> StartTrouble:
    first, more = bad.findings[0], len(bad.findings) - 1
    found = [str(first)]
    if more:
        found.append(ngettext("And {n} more finding.", "And {n} more findings.", more).format(n=more))
    if first.file == str(settings_file(store)):
        usual = _(
            "Without them: usual sizes, units and language, no sensors, nobody named; of the bay the last that was set."
        )
        return StartTrouble(_("The settings are wrong"), (*found, usual), (Way.WITHOUT_SETTINGS,))
    return StartTrouble(_("The car of the start is wrong"), tuple(found), (Way.WITHOUT_CAR,))


def way_buttons(trouble: StartTrouble, backup: Backup) -> tuple[WayButton, ...]:
    """Return the buttons of a failed start."""
    words = {
        Way.WITHOUT_SETTINGS: _("Go on without settings"),
        Way.WITHOUT_CAR: _("Go on without this car"),
        Way.WITHOUT_ZONE: _("Go on with UTC"),
        Way.EMPTY: _("Begin an empty journal"),
        Way.CUT: _("Go on from what is there"),
    }
    ways = [way for way in trouble.ways if way is not Way.EMPTY or backup is None]
    buttons = [WayButton(way, words[way], hold=way in (Way.EMPTY, Way.CUT)) for way in ways]
    if isinstance(backup, KeptBackup):
        buttons.append(WayButton(Way.RESTORE, _("Restore the backup"), hold=True))
    return (
        *buttons,
        WayButton(Way.AGAIN, _("Back to the board") if trouble.asked_for else _("Try again")),
        WayButton(Way.LEAVE, _("Close bayapp"), hold=True),
    )


def sentences(trouble: StartTrouble, backup: Backup, entries: int | None, at: datetime, tz: tzinfo) -> tuple[str, ...]:
    """Return what to read: what happened, and what the newest good backup lacks.

    ``entries`` is how many the journal has, as far as it can still tell.
    """
    if not trouble.needs_backup:
        return trouble.sentences
    if isinstance(backup, KeptBackup):
        return (*trouble.sentences, _of_backup(backup, entries, at, tz))
    if backup is Looking.LOOKING:
        return trouble.sentences
    none = _("There is no good backup here: plug in a stick that has one, then try again.")
    empty = _("Or begin an empty journal: waits that run on a car are not known then, and nothing is deleted.")
    return (*trouble.sentences, none, *([empty] if Way.EMPTY in trouble.ways else []))


def _of_backup(backup: KeptBackup, entries: int | None, at: datetime, tz: tzinfo) -> str:
    if backup.last_at is None:
        return _("The newest good backup is an empty one.")
    missing = None if entries is None else max(0, entries - backup.count)
    if missing is None:
        lacks = _("how many entries it lacks cannot be told")
    else:
        lacks = ngettext("{n} entry is missing in it", "{n} entries are missing in it", missing).format(n=missing)
    return _("The newest good backup is of {time}, {span} ago; {lacks}.").format(
        time=day_and_time(backup.last_at, tz), span=length_text(at - backup.last_at), lacks=lacks
    )


def mended_note(what: str, way: Way, backup: KeptBackup | None, entries: int | None, tz: tzinfo) -> str:
    """Return what is written down of a journal that went on with less than was recorded; nothing for other ways.

    ``what`` was found wrong with it.
    """
    if way is Way.CUT:
        return _("{what} It was gone on from what was there.").format(what=what)
    if way is not Way.RESTORE or backup is None or backup.last_at is None:
        return ""
    back = _("The backup of {time} was put back.").format(time=day_and_time(backup.last_at, tz))
    missing = 0 if entries is None else max(0, entries - backup.count)
    lacks = ngettext("{n} entry is missing since then.", "{n} entries are missing since then.", missing)
    return " ".join(words for words in (what, back, lacks.format(n=missing) if missing else "") if words)


def look_first() -> str:
    """Return what the board says then; the note with each car says more."""
    return _("Entries are missing. Look at each car first, and enter what was done there since.")


def told_again(trouble: StartTrouble, backup: Backup, seconds: int) -> str:
    """Return the line under the title: what goes on by itself."""
    if backup is Looking.LOOKING:
        return _("Looking for the newest good backup …")
    return _("It is tried again by itself every {n} s.").format(n=seconds) if trouble.mends_itself else ""


def written_back() -> str:
    """Return what the board says once where a deleted journal was written back from the file that was still open."""
    return _("The journal was written back. Nothing that was recorded is missing.")
