"""The checks of ``doctor``, one for each part of the machine: whether it is fine, and if not, what to do."""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path

from bayapp.text.language import _, ngettext

FREE_AT_LEAST_MB = 200
PLANNER_TAKES_AT_MOST_S = 30
LIBRARIES = {
    "PySide6": "PySide6-Essentials",
    "PySide6.QtMultimedia": "PySide6-Addons",
    "PySide6.QtTextToSpeech": "PySide6-Addons",
    "pydantic": "pydantic",
    "platformdirs": "platformdirs",
    "numpy": "numpy",
    "sqlalchemy": "SQLAlchemy",
    "psychrolib": "PsychroLib",
    "rfc8785": "rfc8785",
    "typer": "typer",
    "tzlocal": "tzlocal",
    "ortools": "ortools",
    "pyqtgraph": "pyqtgraph",
    "paho.mqtt": "paho-mqtt",
    "babel": "Babel",
    "biip": "biip",
    "shapely": "shapely",
    "tomlkit": "tomlkit",
}


def check_store(store: Path) -> tuple[bool, str]:
    """Whether the store is writable, has room, and its journal is intact."""
    home = next(folder for folder in (store.absolute(), *store.absolute().parents) if folder.exists())
    if not home.is_dir():
        return False, _("{home} is a file, not a folder; name another folder with --store.").format(home=home)
    if not os.access(home, os.W_OK | os.X_OK):
        return False, _(
            "{home} may not be written to; give this user the right, or name another folder with --store."
        ).format(home=home)
    free = shutil.disk_usage(home).free // 1_000_000
    if free < FREE_AT_LEAST_MB:
        return False, _("Only {free} MB are free on the disk of {home}; make room for at least {needed} MB.").format(
            free=free, home=home, needed=FREE_AT_LEAST_MB
        )
    if not _has_journal(store):
        return True, _("{store} has no journal yet; the first start makes it. {free} MB are free.").format(
            store=store, free=free
        )
    from bayapp.record.integrity import check

    wrong = check(store)
    if wrong:
        others = len(wrong) - 1
        more = " " + ngettext("And {n} more.", "And {n} more.", others).format(n=others) if others else ""
        return False, _("{store}: {wrong}{more} Keep a copy of the folder and restore the latest backup.").format(
            store=store, wrong=wrong[0].words, more=more
        )
    lacking = _photos_lacking(store)
    if lacking:
        return False, _("{store}: {lacking} `bayapp verify` names them; a backup on a stick may hold them.").format(
            store=store, lacking=lacking
        )
    return True, _("{store}: the journal is sound. {free} MB are free.").format(store=store, free=free)


def _photos_lacking(store: Path) -> str:
    """Return how many photos of the journal are not in the store, in a sentence; their content is not read."""
    from bayapp.record import open_journal
    from bayapp.record.photos import missing

    journal = open_journal(store, write=False)
    try:
        count = len(list(missing(store, journal.photos())))
    finally:
        journal.close()
    if not count:
        return ""
    said = ngettext("{n} photo of the journal is missing.", "{n} photos of the journal are missing.", count)
    return said.format(n=count)


def check_clock(store: Path) -> tuple[bool, str]:
    """Whether the machine's wall clock agrees with what the journal knows."""
    from bayapp.bay.clock_watch import how_it_begins
    from bayapp.clock import MachineReadings, from_wall
    from bayapp.job.model.instant import write_instant
    from bayapp.time_zone import local_zone

    readings = MachineReadings()
    now = write_instant(from_wall(readings.stamp()))
    if not _has_journal(store):
        return True, _("It is {now}; compare this with a watch. No journal says otherwise.").format(now=now)
    from bayapp.record import open_journal

    journal = open_journal(store, write=False)
    try:
        begins = how_it_begins(journal, readings, local_zone())
    finally:
        journal.close()
    if begins.jump:
        return False, _("It is {now}, {seconds:+.0f} s against the journal; set the machine's clock right.").format(
            now=now, seconds=begins.jump.by_ms / 1000
        )
    if begins.start and begins.start.length == "asked":
        asks = _(
            "It is {now} by this machine's clock, which no time service sets. The wall will ask how long it was off."
        )
        return False, asks.format(now=now)
    return True, _("It is {now}, after all that the journal holds.").format(now=now)


def check_sound() -> tuple[bool, str]:
    """Whether a sound device takes half a second of silence."""
    from bayapp.alerts.player import sound_report

    return sound_report()


def check_screen() -> tuple[bool, str]:
    """Whether there is a screen to fill, and how many pixels and millimetres it says it has."""
    asked = os.environ.get("QT_QPA_PLATFORM", "")
    if asked in ("offscreen", "minimal", "minimalegl"):
        return False, _("QT_QPA_PLATFORM={asked} paints where nobody sees it; unset it.").format(asked=asked)
    if sys.platform.startswith("linux") and not (asked or any(map(os.environ.get, ("DISPLAY", "WAYLAND_DISPLAY")))):
        return False, _("There is no display; start bayapp from the desktop of the wall machine.")
    from bayapp.screen.processes.display_report import display_report

    return display_report()


def check_planner(bayapp: Sequence[str]) -> tuple[bool, str]:
    """Whether the planner's process starts; ``bayapp`` are the words that start this program.

    The process is given no work, so it ends before the solver is put to use.
    """
    without = _("The board works, but without a plan")
    if not _is_there("ortools"):
        return False, _("{without}: ortools is missing; install it: {executable} -m pip install ortools").format(
            without=without, executable=sys.executable
        )
    try:
        ended = subprocess.run(
            [*bayapp, "plan-follow"],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            timeout=PLANNER_TAKES_AT_MOST_S,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as problem:
        return False, _(
            "{without}: its process does not start and end ({problem}); start the machine anew, look again."
        ).format(without=without, problem=problem)
    if ended.returncode:
        why = (ended.stderr.strip().splitlines() or [_("it ended with code {code}").format(code=ended.returncode)])[-1]
        return False, _("{without}: its process does not start ({why}); install bayapp anew.").format(
            without=without, why=why
        )
    return True, _("Its process starts; the solver is OR-Tools {version}.").format(version=_version("ortools"))


def check_libraries() -> tuple[bool, str]:
    """Whether all that bayapp stands on is installed, and in which versions."""
    missing = [package for module, package in LIBRARIES.items() if not _is_there(module)]
    if missing:
        packages = " ".join(dict.fromkeys(missing))
        return False, _("{packages} is missing; install it: {executable} -m pip install {packages}").format(
            packages=packages, executable=sys.executable
        )
    versions = {package: _version(package) for package in LIBRARIES.values()}
    python = ".".join(map(str, sys.version_info[:3]))
    return True, ", ".join([f"Python {python}", *(f"{package} {number}" for package, number in versions.items())])


def _has_journal(store: Path) -> bool:
    return store.is_dir() and any(store.glob("*.sqlite3"))


def _is_there(module: str) -> bool:
    try:
        return find_spec(module) is not None
    except ModuleNotFoundError:
        return False


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return _("of unknown version")
