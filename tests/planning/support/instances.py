"""Reads the published instances of tests/data/scheduling into problems."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

from bayapp.planning.core.problem import Lag, Problem, Task

DATA = Path(__file__).resolve().parents[2] / "data" / "scheduling"


def job_shop(name: str) -> Problem:
    """Read a job shop of jobshop.json; task "2.0" is the first operation of the third job, resource "m4" a machine."""
    jobs = _job_shops()[name]["jobs"]
    tasks = [
        Task(f"{job}.{place}", duration, {f"m{machine}": 1})
        for job, operations in enumerate(jobs)
        for place, (machine, duration) in enumerate(operations)
    ]
    lags = [
        Lag(f"{job}.{place}", f"{job}.{place + 1}")
        for job, operations in enumerate(jobs)
        for place in range(len(operations) - 1)
    ]
    machines = {f"m{machine}" for operations in jobs for machine, _ in operations}
    return Problem(tuple(tasks), tuple(lags), dict.fromkeys(sorted(machines), 1))


def job_shop_optimum(name: str) -> int:
    """Return the published optimum that stands beside a job shop."""
    return int(_job_shops()[name]["optimum"])


def project(name: str) -> Problem:
    """Read a PSPLIB instance; tasks bear their job numbers, resources are "r0" and on."""
    text = (DATA / "rcpsp" / f"{name}.sm").read_text()
    precedence = list(_rows(text, "PRECEDENCE RELATIONS:"))
    requests = list(_rows(text, "REQUESTS/DURATIONS:"))
    [capacities] = _rows(text, "RESOURCEAVAILABILITIES:")
    tasks = [Task(str(job), duration, _demand(demands)) for job, _, duration, *demands in requests]
    lags = [Lag(str(job), str(then)) for job, _, _, *successors in precedence for then in successors]
    return Problem(tuple(tasks), tuple(lags), _capacity(capacities))


def project_with_latest(name: str) -> Problem:
    """Read a ProGen/max instance: every lag from start to start, a negative one a latest moment read backwards."""
    lines = (DATA / "rcpsp-max" / f"{name}.sch").read_text().splitlines()
    count = int(lines[0].split()[0]) + 2  # with the source and the sink
    tasks = [
        Task(str(job), duration, _demand(demands))
        for job, _, duration, *demands in map(_numbers, lines[1 + count : 1 + 2 * count])
    ]
    lags: list[Lag] = []
    for line in lines[1 : 1 + count]:
        job, _, number, *rest = _numbers(line)
        arcs = zip(rest[:number], rest[number:], strict=True)
        lags += [Lag(str(job), str(then), min_s=lag, basis="start-start") for then, lag in arcs]
    return Problem(tuple(tasks), tuple(lags), _capacity(_numbers(lines[1 + 2 * count])))


def _job_shops() -> dict[str, dict]:
    return json.loads((DATA / "jobshop.json").read_text())


def _rows(text: str, heading: str) -> Iterator[list[int]]:
    """Yield the rows of numbers below a heading, as far as the next line of stars."""
    for line in text.split(heading)[1].split("***", maxsplit=1)[0].splitlines():
        if re.fullmatch(r"[\s\d]+", line) and line.strip():
            yield _numbers(line)


def _numbers(line: str) -> list[int]:
    return [int(word.strip("[]")) for word in line.split()]


def _demand(amounts: list[int]) -> dict[str, int]:
    return {f"r{place}": amount for place, amount in enumerate(amounts) if amount}


def _capacity(amounts: list[int]) -> dict[str, int]:
    return {f"r{place}": amount for place, amount in enumerate(amounts)}
