"""The first look after a reading of the air: 3 cars, 100 ripening clocks, 60 readings since they began.

Run with ``pytest -m bench -s tests/bench/test_bench_ripening.py``. The floor is the same look where nothing is new, and
the same cars with plain waits, in the same run.
"""

from pathlib import Path
from time import perf_counter
from typing import Any

import pytest

from bayapp.job import Job, ReadAir
from bayapp.job.model.ids import JobId, StepId
from bayapp.job.state.events import JobOpened, StepFinished, StepStarted
from tests.bench.busy_bay import ASH, zones_of_the_estate
from tests.job.builders import START, at, two_step
from tests.pages.bays import HandBay
from tests.report.shop import practice_job

CARS, CLOCKS, READINGS, TIMES = 3, 100, 60, 15
TABLES = {"min_by_c": [[10, 800], [20, 500], [30, 300]], "max_by_c": [[10, 6000], [30, 2000]]}
PLAIN = {"min": 500, "max": 6000}


def filled(store: Path, wait: dict[str, Any]) -> HandBay:
    """Return a bay whose zones were coated one every ten seconds, and whose air was read every half minute since."""
    hand, left = HandBay(store, START), CLOCKS
    form = practice_job().vehicle
    for number in range(CARS):
        zones = zones_of_the_estate()[: min(left, -(-CLOCKS // CARS))]
        left -= len(zones)
        blocks = [{"zones": zones, "recipe": two_step(wait)}]
        entry = {"id": f"car-{number}", "title": f"Car {number}", "start": START, "vehicle": form, "blocks": blocks}
        job = Job.model_validate(entry)
        hand.bay.restore((JobOpened(at=START, job=job.id, opened=job),))
        for n, zone in enumerate(zones):
            begun = {"job": JobId(job.id), "zone": zone, "step": StepId("coat"), "by": ASH}
            hand.bay.restore((StepStarted(at=at(n / 60), **begun), StepFinished(at=at((n + 0.5) / 60), **begun)))
    hand.go_to(at(5))
    for n in range(READINGS):
        read(hand, n)
    return hand


def read(hand: HandBay, n: int) -> float:
    """Read the air anew and return how long it took to record it, in seconds: journal, fold, what it moved."""
    hand.wait(30)
    began = perf_counter()
    assert hand.bay.request(ReadAir(20 + (n % 7) * 0.6, 50.0)).accepted
    return perf_counter() - began


def look(hand: HandBay) -> float:
    now = hand.bay.now()
    began = perf_counter()
    found = hand.bay.clocks(now)
    took = perf_counter() - began
    assert len(found) == CLOCKS
    return took


def ms(times: list[float]) -> str:
    return f"p50 {1000 * sorted(times)[len(times) // 2]:.1f} ms, worst {1000 * max(times):.1f} ms"


@pytest.mark.bench
@pytest.mark.timeout(0)
def test_the_first_look_after_a_reading(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    ripening, plain = filled(tmp_path / "ripening", TABLES), filled(tmp_path / "plain", PLAIN)
    names = ("recorded", "first look", "second look", "recorded, plain", "look, plain")
    measured: dict[str, list[float]] = {name: [] for name in names}
    for n in range(TIMES):
        measured["recorded"].append(read(ripening, n))
        measured["first look"].append(look(ripening))
        measured["second look"].append(look(ripening))
        measured["recorded, plain"].append(read(plain, n))
        measured["look, plain"].append(look(plain))
    ripening.journal.close()
    plain.journal.close()
    with capsys.disabled():
        print(f"\n{CLOCKS} ripening clocks, {READINGS} readings since they began:")
        for name, times in measured.items():
            print(f"  {name}: {ms(times)}")
        recorded, first, second, recorded_plain, look_plain = (sorted(measured[name])[TIMES // 2] for name in names)
        ratio = (recorded + first) / (recorded_plain + look_plain)
        print(f"  recorded and first look, ripening to plain: {ratio:.1f}; first to second look: {first / second:.1f}")
