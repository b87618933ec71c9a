"""Stores of an invented week, closed or killed, and damage done to their files."""

import random
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from bayapp.job import Event
from bayapp.record import open_journal
from bayapp.record.witness import Witness
from tests.record.samples import STAMP, air, at, closed, finished, opened, started

FILE = "journal.sqlite3"
PAGE = 4_096
CARS = 12


def week() -> list[Event]:
    """Cars that came and left one after the other, and two that are inside; about three hundred entries."""
    events: list[Event] = []
    for number in range(CARS):
        car, begin = f"car-{number}", number * 600.0
        events += [air(begin, 15.0 + number), opened(car, begin)]
        for minute in range(1, 12):
            touch = f"t-{number}-{minute}"
            events.append(started(car, begin + minute, touch=touch))
            events.append(finished(car).model_copy(update={"at": at(begin + minute) + timedelta(seconds=30)}))
        if number < CARS - 2:
            events.append(closed(car, begin + 100))
    return events


@dataclass(frozen=True)
class Kept:
    """A store as it lay when all was well.

    Attributes:
        folder: its files.
        older: its file as it was earlier on the same day.
        events: all that was recorded.
        present: what a start reads.
        alive_at: the last sign of life, and the one before, which a kill a moment earlier would have left.
    """

    folder: Path
    older: bytes
    events: Sequence[Event]
    present: Sequence[Event]
    alive_at: tuple[datetime, datetime]


def keep_stores(home: Path) -> dict[str, Kept]:
    """Make a store that was closed and one that was killed, whose log holds the last third."""
    events = week()
    two_thirds = len(events) * 2 // 3
    journal = open_journal(home / "running")
    for begin in range(0, two_thirds, 7):
        journal.append(events[begin : min(begin + 7, two_thirds)], STAMP)
    journal.heartbeat(at(9_000), STAMP)
    journal.close()
    older = (home / "running" / FILE).read_bytes()
    journal = open_journal(home / "running")
    for event in events[two_thirds:]:
        journal.append([event], STAMP)
    journal.heartbeat(at(9_001), STAMP)
    present = journal.read_open()
    shutil.copytree(home / "running", home / "killed")
    journal.close()
    shutil.copytree(home / "running", home / "closed")
    return {how: Kept(home / how, older, events, present, (at(9_001), at(9_000))) for how in ("killed", "closed")}


def flip(content: bytearray, chance: random.Random) -> None:
    """Flip one bit."""
    content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)


def flip_many(content: bytearray, chance: random.Random) -> None:
    """Flip bits here and there, as a bad cable does."""
    for _ in range(chance.randint(2, 40)):
        flip(content, chance)


def zero_page(content: bytearray, chance: random.Random) -> None:
    """Make a page empty, as a disk does that lost it."""
    begin = chance.randrange(0, len(content), PAGE)
    content[begin : begin + PAGE] = bytes(len(content[begin : begin + PAGE]))


def spoil_page(content: bytearray, chance: random.Random) -> None:
    """Write anything over a page."""
    begin = chance.randrange(0, len(content), PAGE)
    content[begin : begin + PAGE] = chance.randbytes(len(content[begin : begin + PAGE]))


def swap_pages(content: bytearray, chance: random.Random) -> None:
    """Put a page in the place of another."""
    one, other = (chance.randrange(0, len(content), PAGE) for _ in range(2))
    content[one : one + PAGE] = content[other : other + PAGE]


def cut(content: bytearray, chance: random.Random) -> None:
    """Cut it off anywhere."""
    del content[chance.randrange(len(content)) :]


def cut_at_page(content: bytearray, chance: random.Random) -> None:
    """Cut it off between two pages."""
    del content[chance.randrange(0, len(content), PAGE) :]


def zero_end(content: bytearray, chance: random.Random) -> None:
    """Make all empty from somewhere on."""
    begin = chance.randrange(len(content))
    content[begin:] = bytes(len(content) - begin)


def zero_all(content: bytearray, chance: random.Random) -> None:
    """Make all of it empty, its length as it was."""
    content[:] = bytes(len(content))


def empty(content: bytearray, chance: random.Random) -> None:
    """Leave a file of no length."""
    content.clear()


HARM: tuple[Callable[[bytearray, random.Random], None], ...] = (
    flip,
    flip_many,
    zero_page,
    spoil_page,
    swap_pages,
    cut,
    cut_at_page,
    zero_end,
    zero_all,
    empty,
)
TARGETS = {
    "database": (FILE,),
    "log": (f"{FILE}-wal",),
    "both": (FILE, f"{FILE}-wal"),
    "index of the log": (f"{FILE}-shm",),
    "witness": (Witness(Path(FILE)).path.name,),
    "witness and log": (Witness(Path(FILE)).path.name, f"{FILE}-wal"),
}


def damage(kept: Kept, folder: Path, seed: int) -> str:
    """Copy a store into a folder and harm it as the seed says; return what was done."""
    chance = random.Random(seed)
    shutil.copytree(kept.folder, folder)
    if chance.random() < 0.05:
        (folder / FILE).write_bytes(kept.older)
        if chance.random() < 0.5:
            (folder / f"{FILE}-wal").unlink(missing_ok=True)
        return "an older state of the database in its place"
    present = [name for name, files in TARGETS.items() if all((folder / file).exists() for file in files)]
    weights = [4 if name in ("database", "log", "both") else 1 for name in present]
    target = chance.choices(present, weights)[0]
    done = []
    for file in TARGETS[target]:
        if chance.random() < 0.15:
            (folder / file).unlink()
            done.append("deleted")
            continue
        harm = chance.choice(HARM)
        content = bytearray((folder / file).read_bytes())
        if content:
            harm(content, chance)
        (folder / file).write_bytes(content)
        done.append(harm.__name__)
    return f"{target}: {', '.join(done)}"
