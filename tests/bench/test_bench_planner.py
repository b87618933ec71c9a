"""The planner against three other ways: first answer, gap to what is proven, finish; each beside the others in one run.

Run with ``python3 packaging/test.py --bench`` or ``pytest -m bench -s tests/bench/test_bench_planner.py``. Untouched
estates of 50, 100 and 200 steps with one, two and three people; the whole car with tyres, whose dressing comes 12 h
after the rims, as a fourth. ``BAY_BENCH_PLAN_S`` sets at which seconds ours and the plain search are looked at.

The gap is how much later a plan ends than the best bound that anything proved in this run. The plain search is
CP-SAT on the same problem with nothing of ours: no first plan, no implied waits, no bounds, no hint.
"""

import os
from time import perf_counter

import pytest
from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import horizon
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.heuristic.one_by_one import one_by_one
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.solve import solve
from tests.bench.plan_jobs import soonest_lapse_first, work
from tests.planning.support.checker import faults

LOOKS_S = tuple(float(s) for s in os.environ.get("BAY_BENCH_PLAN_S", "1,5,20").split(","))
WORKERS = 2


class Seen(cp_model.CpSolverSolutionCallback):
    """Notes when the plain search found each better plan."""

    def __init__(self) -> None:
        super().__init__()
        self.began = perf_counter()
        self.found: list[tuple[float, int]] = []

    def on_solution_callback(self) -> None:
        self.found.append((perf_counter() - self.began, round(self.objective_value)))


def plain(problem: Problem, seconds: float) -> tuple[list[tuple[float, int]], int]:
    """Return when the plain search found what, building the model included, and its bound."""
    seen = Seen()
    built = PlanModel(problem, horizon(problem))
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.max_time_in_seconds = seconds
    solver.solve(built.model, seen)
    return seen.found, max(0, round(solver.best_objective_bound))


def ours(problem: Problem, seconds: float) -> tuple[list[tuple[float, int]], Plan]:
    """Return when ours had what, and the last plan."""
    began = perf_counter()
    found: list[tuple[float, int]] = []
    plan = solve(
        problem, Effort(seconds, WORKERS), on_better=lambda p: found.append((perf_counter() - began, p.makespan_s or 0))
    )
    assert faults(problem, plan) == []
    found.append((perf_counter() - began, plan.makespan_s or 0))
    return found, plan


def at(found: list[tuple[float, int]], seconds: float) -> int | None:
    """Return the best that had been found by then."""
    return min((end for when, end in found if when <= seconds + 0.2), default=None)


def percent(end: int | None, bound: int) -> str:
    return "   none" if end is None else f"{100 * (end / bound - 1):6.1f}%"


@pytest.mark.bench
@pytest.mark.timeout(0)
@pytest.mark.parametrize("steps", [50, 100, 200, 246])
def test_the_planner_beside_three_other_ways(steps: int, capsys: pytest.CaptureFixture[str]):
    solve(work(50, 1).problem, Effort(0.1))  # OR-Tools is loaded once, when the planner's process starts
    for people in (1, 2, 3):
        day = work(steps, people)
        problem = day.problem
        began = perf_counter()
        list_schedule(problem)
        first_s = perf_counter() - began
        mine, plan = ours(problem, LOOKS_S[-1])
        theirs, their_bound = plain(problem, LOOKS_S[-1])
        bound = max(plan.bound_s or 0, their_bound)
        alone = one_by_one(problem, {t: f"{r.job}/{r.zone}" for t, r in day.rung_of.items()})
        greedy, missed = soonest_lapse_first(problem)
        with capsys.disabled():
            print(f"\n{len(problem.tasks)} steps, {people} people: first plan after {first_s:.3f} s; proven {bound} s")
            for name, found in (("ours", mine), ("plain CP-SAT", theirs)):
                gaps = "  ".join(f"{s:g} s {percent(at(found, s), bound)}" for s in LOOKS_S)
                first = f"{found[0][0]:.2f} s" if found else "none"
                print(f"  {name:22} first {first:>7}   gap at {gaps}")
            print(f"  {'zone after zone':22} {percent(alone.makespan_s, bound)}")
            stuck = len(problem.tasks) - len(greedy.starts_s)
            outcome = f"stuck for good with {stuck} steps left" if stuck else percent(greedy.makespan_s, bound)
            print(f"  {'soonest lapse first':22} {outcome}, {missed} moments missed")
