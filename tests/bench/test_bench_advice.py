"""How soon the planner's process answers after a touch, also in the midst of a search, and what memory it takes.

Run with ``pytest -m bench -s tests/bench/test_bench_advice.py``. The shipped car for two people in a real store; a
request stands for a touch, sent at odd moments of the search before it. The floor is a plain read and write of a
line by a Python process in the same run.
"""

import json
import subprocess
import sys
from pathlib import Path
from random import Random
from time import perf_counter, sleep

import pytest

from bayapp.clock import BayClock
from bayapp.job.model.instant import write_instant
from bayapp.job.state.events import JobOpened
from bayapp.record import open_journal
from tests.bench.plan_jobs import day

TIMES = 12
ECHO = "import sys\nfor line in sys.stdin: print(line, end='', flush=True)"


def talk(command: list[str]) -> subprocess.Popen[str]:
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def answer_s(process: subprocess.Popen[str], line: str, wanted: str) -> float:
    """Send a line and return how long the first answer that holds ``wanted`` took."""
    assert process.stdin
    assert process.stdout
    began = perf_counter()
    process.stdin.write(line + "\n")
    process.stdin.flush()
    while wanted not in process.stdout.readline():
        pass
    return perf_counter() - began


def summary(name: str, times: list[float]) -> str:
    ms = sorted(round(1000 * t) for t in times)
    return f"{name}: p50 {ms[len(ms) // 2]} ms, worst {ms[-1]} ms of {len(ms)}"


@pytest.mark.bench
@pytest.mark.timeout(0)
@pytest.mark.parametrize("steps", [100, 246])
def test_an_answer_after_a_touch(steps: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    journal = open_journal(tmp_path)
    (job,) = day(steps, 2).open_jobs
    journal.append((JobOpened(at=job.opened_at, job=job.job.id, opened=job.job),), BayClock.at_wall().stamp())
    journal.close()
    follower = talk([sys.executable, "-m", "bayapp", "plan-follow", f"--store={tmp_path}"])
    echo = talk([sys.executable, "-c", ECHO])
    moment, chance = write_instant(job.opened_at), Random(1)
    first = answer_s(follower, json.dumps({"at": moment, "order": 1}), '"work"')
    times, floor = [], []
    for number in range(2, TIMES + 2):
        sleep(chance.uniform(0, 6))
        times.append(answer_s(follower, json.dumps({"at": moment, "order": number}), f'"order":{number},"work"'))
        floor.append(answer_s(echo, "x", "x"))
    status = Path(f"/proc/{follower.pid}/smaps_rollup").read_text()
    memory = {line.split()[0]: int(line.split()[1]) / 1024 for line in status.splitlines()[1:]}
    for process in (follower, echo):
        process.communicate()
    with capsys.disabled():
        print(
            f"\n{steps} steps: from the start of the process {first:.2f} s; {summary('touch to first answer', times)}"
        )
        print(f"  {summary('floor, a line there and back', floor)}")
        print(f"  memory {memory['Rss:']:.0f} MB resident, {memory['Pss:']:.0f} MB with shared pages counted once")
