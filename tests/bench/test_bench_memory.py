"""What the wall screen with its sound, planner and search takes of memory, at rest and at its most, in one run.

Pages that several of its processes share are counted once; what other programs have loaded too makes no difference.
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path
from statistics import median
from threading import Event
from time import perf_counter

import pytest

from bayapp.clock import BayClock
from tests.bench.busy_bay import cars_with_running_clocks, write_store
from tests.bench.processes import descendants, processor_s, running, together_mb
from tests.screen.whole_program.display import PROGRAMS_ARE_HERE, display

pytestmark = [pytest.mark.bench, pytest.mark.timeout(600)]

WATCHED_S, LOOK_S = 25.0, 0.1
PARTS = {"plan-follow": "planner", "bayapp.alerts.sounder": "sound"}


@pytest.fixture(params=["offscreen", "X server"])
def environment(request: pytest.FixtureRequest) -> Iterator[dict[str, str]]:
    with ExitStack() as stack:
        if request.param == "offscreen":
            yield {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
        elif PROGRAMS_ARE_HERE:
            yield {**os.environ, "QT_QPA_PLATFORM": "xcb", "DISPLAY": stack.enter_context(display()).name}
        else:
            pytest.skip("needs Xvfb")


def part(process: int) -> str:
    """Return which part of the program a process is; a search goes by the words of the planner that it is forked of."""
    words = Path(f"/proc/{process}/cmdline").read_text().split("\0")
    return next((name for word, name in PARTS.items() if word in words), "board")


def look(program: int) -> tuple[float, bool, str]:
    """Return the memory of all parts, whether they search, and what each takes."""
    found = [(part(p), mb) for p, mb in together_mb([program, *descendants(program)]).items()]
    parts = ", ".join(f"{name} {mb:.0f}" for name, mb in found)
    return sum(mb for _, mb in found), [name for name, _ in found].count("planner") > 1, parts


def watch(program: int) -> Iterator[tuple[float, bool, str]]:
    """Look again and again; a moment at which a process ends is passed over."""
    until = perf_counter() + WATCHED_S
    while perf_counter() < until:
        Event().wait(LOOK_S)
        try:
            yield look(program)
        except (FileNotFoundError, ProcessLookupError):
            continue


def measured(name: str, words: tuple[str, ...], environment: Mapping[str, str]) -> None:
    with running(environment, "-m", "bayapp", "--kiosk", *words) as program:
        looks = list(watch(program))
        used = processor_s(program)
    searched = [found for found in looks if found[1]]
    assert searched, "nothing was searched for; this measures no peak"
    last_search = max(n for n, (_, searches, _) in enumerate(looks) if searches)
    rest = [mb for mb, _, _ in looks[last_search + 1 :]]
    most, _, parts = max(looks)
    print(f"\n  {name}, {environment['QT_QPA_PLATFORM']}; the board used {used:.1f} s of the processor")
    print(f"  at its most {most:6.1f} MB ({parts})")
    print(f"  at rest     {median(rest):6.1f} MB ({looks[-1][2]})" if rest else "  it searched to the end")
    print("  goal: at most 250 MB")


def test_the_practice_car(environment: dict[str, str]):
    measured("the practice car", ("--practice",), environment)


def test_two_cars_with_fifty_running_clocks(tmp_path: Path, environment: dict[str, str]):
    clock = BayClock.at_wall()
    write_store(tmp_path / "store", cars_with_running_clocks(tmp_path, clock.now(), 2, 50, 1), clock)
    measured("two cars, 50 running clocks", ("--store", str(tmp_path / "store")), environment)
