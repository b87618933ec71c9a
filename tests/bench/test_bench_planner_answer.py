"""What the screen spends on one answer of the planner: 350 steps, of six cars; the floor is to read the bare JSON."""

import json
import statistics
from datetime import timedelta
from pathlib import Path
from time import perf_counter

import pytest
from PySide6.QtWidgets import QApplication

from bayapp.planning.core.work_order import Choice, PlannedStep, WorkOrder
from bayapp.screen.processes.planner_process import PlannerProcess
from tests.pages.bays import HandBay, hand_bay

pytestmark = [pytest.mark.bench, pytest.mark.timeout(600)]

STEPS, ROUNDS, CARS = 350, 200, 6
SECOND = timedelta(seconds=1)


def answer(hand: HandBay) -> bytes:
    """Return a line as the planner tells it, every field of every step filled."""
    at, job = hand.bay.now(), next(iter(hand.bay.state.jobs.values())).job
    zones = list(job.block_of)
    steps = tuple(
        PlannedStep(
            job=job.id,
            zone=zones[n % len(zones)],
            step=job.recipe_of(zones[n % len(zones)]).step[0].id,
            person=job.crew[0],
            start=at + 60 * n * SECOND,
            end=at + (60 * n + 50) * SECOND,
            opens_at=at + 60 * n * SECOND,
            lapses_at=at + (60 * n + 30) * SECOND,
        )
        for n in range(STEPS)
    )
    choices = tuple(Choice(job=job.id, zones=(s.zone,), step=s.step, person=s.person, cost_s=60) for s in steps[:20])
    order = WorkOrder(status="feasible", made_for=at, entry=at, steps=steps, finish=steps[-1].end, choices=choices)
    return f'{{"order":1,"work":{order.model_dump_json()}}}'.encode()


def report(name: str, figures: list[float]) -> None:
    cuts = statistics.quantiles(figures, n=100)
    print(f"  {name:<52} p50 {cuts[49]:7.2f} ms   p99 {cuts[98]:7.2f} ms   n = {len(figures)}")


def test_an_answer_is_taken(tmp_path: Path, qapp: QApplication):
    with hand_bay(tmp_path, cars=CARS) as hand:
        controller = PlannerProcess(hand.store, hand.bay)
        controller._wanted = True
        line = answer(hand)
        taken, bare, asked = [], [], []
        for _ in range(ROUNDS):
            begin = perf_counter()
            controller._hear(line)
            taken.append((perf_counter() - begin) * 1000)
            begin = perf_counter()
            json.loads(line)
            bare.append((perf_counter() - begin) * 1000)
            begin = perf_counter()
            controller._look_ahead()
            asked.append((perf_counter() - begin) * 1000)
        assert hand.bay.advice.order
        assert len(hand.bay.advice.order.steps) == STEPS
        controller.stop()
    print(f"\n  an answer of {STEPS} steps, {len(line) / 1000:.0f} kB; {CARS} cars in the bay")
    report("read, checked and handed to the bay", taken)
    report("bare JSON", bare)
    report("when to ask again, a second later, from every clock", asked)
