"""From the start of the process to the first painted board with 100,000 entries, against an empty Qt window."""

import gc
import os
import statistics
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from time import perf_counter

import pytest

from bayapp.bay import Bay
from bayapp.clock import BayClock
from bayapp.record import open_journal
from tests.bench import start_programs
from tests.bench.busy_bay import long_past, write_store

pytestmark = [pytest.mark.bench, pytest.mark.timeout(900)]

ENTRIES = 100_000
TURNS = 5
ROOT = Path(__file__).parents[2]


def seconds_to_paint(environment: dict[str, str], *words: str) -> tuple[float, float]:
    """Return real and processor seconds from the start of a process to the line that says "painted"."""
    before = os.times()
    begin = perf_counter()
    with subprocess.Popen([sys.executable, *words], cwd=ROOT, env=environment, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"painted\n"
        took = perf_counter() - begin
    after = os.times()
    work = after.children_user + after.children_system - before.children_user - before.children_system
    return took, work


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """As it is where the program is installed: modules are compiled once, not at every start."""
    mine = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**mine, "PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("bytecode")), "QT_QPA_PLATFORM": "offscreen"}


def report_recalling(store: Path) -> None:
    """Say what is read once the board stands: the cars that left within a day, one at a time."""
    journal = open_journal(store, write=False)
    bay = Bay(journal, BayClock.at_wall())
    turns: list[float] = []
    gc.freeze()  # as the program does: else the collector looks through all that was made for the store
    while not bay.knows_left:
        begin = perf_counter()
        bay.recall_left()
        turns.append(perf_counter() - begin)
    gc.unfreeze()
    journal.close()
    line = f"{len(turns) - 1} cars that left within a day in {sum(turns):.3f} s, the longest turn {max(turns):.3f} s"
    print(f"  {'read afterwards':<24} {line}")


@pytest.mark.parametrize(("cars", "still_open"), [(61, 1), (140, 6), (6, 6)])
def test_start_to_the_first_painted_board(tmp_path: Path, environment: dict[str, str], cars: int, still_open: int):
    clock = BayClock.at_wall()
    events = long_past(tmp_path, clock.now() - timedelta(minutes=1), cars, still_open, ENTRIES - 1)
    write_store(tmp_path / "store", events, clock)
    programs = {
        "empty Qt window": (start_programs.__file__, "empty"),
        "first painted board": ("-m", start_programs.__name__, "board", str(tmp_path / "store")),
    }
    for words in programs.values():
        seconds_to_paint(environment, *words)
    found: dict[str, list[tuple[float, float]]] = {name: [] for name in programs}
    for _ in range(TURNS):
        for name, words in programs.items():
            found[name].append(seconds_to_paint(environment, *words))
    medians = {
        name: [statistics.median(column) for column in zip(*pairs, strict=True)] for name, pairs in found.items()
    }
    print(f"\n  {ENTRIES} entries of {cars} cars, {still_open} of them still in the bay; medians of {TURNS} by turns")
    for name, (real, work) in medians.items():
        print(f"  {name:<24} {real:7.3f} s   processor {work:7.3f} s")
    floor, ours = medians.values()
    report_recalling(tmp_path / "store")
    print(f"  ratio {ours[0] / floor[0]:.2f} (goal: at most 4), of processor time {ours[1] / floor[1]:.2f}")
