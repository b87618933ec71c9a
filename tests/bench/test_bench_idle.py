"""What an idle screen with 50 running clocks costs, against a bare Qt window that paints itself once a second."""

import os
from collections.abc import Iterator
from pathlib import Path
from threading import Event
from time import perf_counter

import pytest

from bayapp.clock import BayClock
from tests.bench import idle_programs
from tests.bench.busy_bay import cars_with_running_clocks, write_store
from tests.bench.processes import descendants, processor_s, proportional_mb, resident_mb, running
from tests.screen.whole_program.display import PROGRAMS_ARE_HERE, Display, display

pytestmark = [pytest.mark.bench, pytest.mark.timeout(600)]

CLOCKS = 50
WATCHED_S = 30.0
WARM_UP_S = 8.0


def share_of_a_core(processes: list[int]) -> float:
    """Watch processes for half a minute of nothing; return their share of one core."""
    begin, before = perf_counter(), sum(map(processor_s, processes))
    Event().wait(WATCHED_S)
    return (sum(map(processor_s, processes)) - before) / (perf_counter() - begin)


def environment_for(shown: Display | None) -> dict[str, str]:
    here = {"DISPLAY": shown.name, "QT_QPA_PLATFORM": "xcb"} if shown else {"QT_QPA_PLATFORM": "offscreen"}
    return {**os.environ, **here}


@pytest.fixture(params=["offscreen", "X server"])
def environment(request: pytest.FixtureRequest) -> Iterator[dict[str, str]]:
    if request.param == "offscreen":
        yield environment_for(None)
    elif PROGRAMS_ARE_HERE:
        with display() as shown:
            yield environment_for(shown)
    else:
        pytest.skip("needs Xvfb")


def test_an_idle_screen_with_fifty_running_clocks(tmp_path: Path, environment: dict[str, str]):
    clock = BayClock.at_wall()
    write_store(tmp_path / "store", cars_with_running_clocks(tmp_path, clock.now(), 2, CLOCKS, 1), clock)
    floor = (idle_programs.__file__,)
    ours = ("-m", "bayapp", "--store", str(tmp_path / "store"), "--kiosk")
    print(f"\n  {CLOCKS} running clocks, {WATCHED_S:.0f} s, {environment['QT_QPA_PLATFORM']}")
    for name, words in (("bare window, 1 Hz", floor), ("idle board", ours)):
        with running(environment, *words) as process:
            Event().wait(WARM_UP_S)  # the start is not what is measured
            share = 100 * share_of_a_core([process])
            beside = descendants(process)  # asked last: a search that ran beside has ended by now
            print(f"  {name:<20} {share:6.2f} % of one core   {resident_mb(process):6.1f} MB resident")
            for child in beside:
                print(f"  a process beside it  {'':>24} {resident_mb(child):6.1f} MB resident")
            print(f"  {'':<20} {'':>24} {proportional_mb([process, *beside]):6.1f} MB in all, shared pages once")
    print("  goals: at most 3 % and 250 MB")
