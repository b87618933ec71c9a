"""Opens the bay for the wall: its journal and clock, what the settings say of it, the car of the command line."""

from collections.abc import Callable
from datetime import tzinfo
from pathlib import Path

from bayapp.bay import Bay
from bayapp.clock import BayClock, Clock, MachineReadings, PracticeClock
from bayapp.files.problems import BadFile, Finding
from bayapp.files.shop.settings import Settings
from bayapp.job import Job
from bayapp.record import DamagedStore, Journal, open_journal
from bayapp.record.findings import FileRebuilt
from bayapp.text.language import _

PRACTICE_BAY_M3, PRACTICE_AIR_CHANGES = 150.0, 2.0  # an invented bay for one car


def open_bay(store: Path, speed: float, practice: bool, tz: tzinfo) -> tuple[Bay, Callable[[], None]]:
    """Open the journal and the clock; return the bay, and a function that closes it. ``tz`` tells what is today.

    A journal that is damaged only around its entries is mended first, and that is said.
    """
    try:
        return _open(store, speed, practice, tz)
    except DamagedStore:
        from bayapp.record.mending import mend  # noqa: PLC0415 (hardly ever needed)

        if mend(store) is None:
            raise
    bay, close = _open(store, speed, practice, tz)
    bay.store_watch.take_found([FileRebuilt()])
    return bay, close


def _open(store: Path, speed: float, practice: bool, tz: tzinfo) -> tuple[Bay, Callable[[], None]]:
    journal = open_journal(store)
    try:
        return _bay_of(journal, speed, practice, tz), journal.close
    except BaseException:
        journal.close()  # or the next try would find it in use, by itself
        raise


def _bay_of(journal: Journal, speed: float, practice: bool, tz: tzinfo) -> Bay:
    if practice:
        from bayapp.practice import play_practice  # noqa: PLC0415 (loads only where somebody practises)

        opening = BayClock.at_wall().now()
        clock: Clock = PracticeClock(opening, speed)
        bay = Bay(journal, clock)
        play_practice(bay, opening)
        return bay
    return Bay.begun(journal, MachineReadings(), tz)


def with_practice_bay(settings: Settings) -> Settings:
    """Return the settings for practice: with an invented bay if the shop has set none."""
    if settings.bay_m3 is not None and settings.bay_air_changes is not None:
        return settings
    return settings.model_copy(update={"bay_m3": PRACTICE_BAY_M3, "bay_air_changes": PRACTICE_AIR_CHANGES})


def take_in(bay: Bay, job: Job, file: str) -> None:
    """Take in the car that the command line names.

    Raises:
        BadFile: it has been in the bay and has left; a closed job is not opened again.
    """
    try:
        bay.open_job(job)
    except ValueError as been:
        reason = _("this car has been in the bay and has left; give it another title or start, or leave --job out")
        raise BadFile([Finding(file, None, "title", reason)]) from been
