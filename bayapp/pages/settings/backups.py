"""Backups by themselves: when one is due, and what is said of each place."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from pathlib import Path

from bayapp.files.shop.backup_log import BackupLog, PlaceLog
from bayapp.files.shop.settings import Settings
from bayapp.record.store import BACKUPS
from bayapp.text.figures import moment_text
from bayapp.text.language import _

NIGHT_HOUR = 3
"""From this hour of the local day on the backup of the night is due."""
AGAIN = timedelta(minutes=15)
"""After a backup that failed."""
KEPT = (10, 30, 100, 300)
ON_A_DRIVE = "bayapp-backups"
"""The folder on a drive that a place is chosen on by touch."""


def places(store: Path, settings: Settings) -> tuple[Path, ...]:
    """Return where backups go: into the store, and to the second place if there is one."""
    own = store.absolute() / BACKUPS
    second = [Path(settings.backups).expanduser()] if settings.backups else []
    return tuple(dict.fromkeys([own, *second]))


def is_due(log: BackupLog, folders: Sequence[Path], at: datetime, tz: tzinfo) -> bool:
    """Whether a place has no good backup since the last night; a place that has just failed is let be for a while."""
    local = at.astimezone(tz)
    night = local.replace(hour=NIGHT_HOUR, minute=0, second=0, microsecond=0)
    if night > local:
        night -= timedelta(days=1)
    return any(_owes(log.of(folder), night, at) for folder in folders)


def _owes(place: PlaceLog, night: datetime, at: datetime) -> bool:
    if place.failed_at and timedelta() <= at - place.failed_at < AGAIN:
        return False
    return place.good_at is None or place.good_at < night or place.good_at > at + timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class PlaceLine:
    """What the page says of one place: when the last good backup was made there, and what is wrong with it now."""

    said: str
    wrong: str


def place_line(folder: Path, own: bool, log: BackupLog, at: datetime, tz: tzinfo) -> PlaceLine:
    """Return what is said of a place."""
    known = log.of(folder)
    name = _("On this machine") if own else str(folder)
    if known.good_at is None:
        said = _("{place}: no good backup yet").format(place=name)
    else:
        said = _("{place}: last good one {time}").format(place=name, time=moment_text(known.good_at, at, tz))
    return PlaceLine(said, known.why)


def last_good(log: BackupLog, folders: Sequence[Path], at: datetime, tz: tzinfo) -> str:
    """Return in a few words when the last good backup was made, for the page of all settings."""
    if any(log.of(folder).why for folder in folders):
        return _("the last one failed: see")
    made = [found for folder in folders if (found := log.of(folder).good_at)]
    return _("last {time}").format(time=moment_text(min(made), at, tz)) if made else _("none yet")


def next_kept(now: int) -> int:
    """Return the next number of backups to keep."""
    return next((number for number in KEPT if number > now), KEPT[0])


def failed_sentence(log: BackupLog, folders: Sequence[Path], output: str) -> str:
    """Return what is said once of backups that failed, or nothing where all is well.

    ``output`` is what the program said that makes them, where it failed: the log may not have been written either.
    """
    why = [log.of(folder).why for folder in folders if log.of(folder).why] or output.splitlines()[-1:]
    return _("No backup was made: {why}").format(why=why[0]) if why else ""
