"""Days that the planner is not tuned to: the plan after 5 s beside the best from 60 s, and whether it comes twice.

Run with ``pytest -m bench -s tests/bench/test_bench_held_back.py``. Two people; how late plans end, not how far a bound
is. The floor is the first plan, which no search has made better. ``BAY_BENCH_LONG_S`` sets the longer time.
"""

import os
from time import perf_counter

import pytest

from bayapp.planning.core.effort import Effort
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.solver.solve import solve
from tests.bench.plan_jobs import HELD_BACK, held_back
from tests.planning.support.checker import faults

USUAL_S, LONG_S = 5.0, float(os.environ.get("BAY_BENCH_LONG_S", "60"))


@pytest.mark.bench
@pytest.mark.timeout(0)
@pytest.mark.parametrize("name", HELD_BACK)
def test_a_day_that_was_held_back(name: str, capsys: pytest.CaptureFixture[str]):
    problem = held_back(name, 2).problem
    first = list_schedule(problem)
    began = perf_counter()
    plan = solve(problem, Effort(USUAL_S))
    took = perf_counter() - began
    again, best = solve(problem, Effort(USUAL_S)), solve(problem, Effort(LONG_S))
    assert faults(problem, plan) == []
    assert faults(problem, best) == []
    assert plan.makespan_s
    ends = min(p.makespan_s for p in (plan, best, again) if p.makespan_s)
    with capsys.disabled():
        print(f"\n{name}, {len(problem.tasks)} steps: first plan {first.makespan_s} s")
        later = 100 * (plan.makespan_s / ends - 1)
        print(f"  after {USUAL_S:g} s, which took {took:.1f} s, {plan.makespan_s} s: {later:.2f} % later than the best")
        print(f"  after {LONG_S:g} s {best.makespan_s} s; twice the same plan: {plan == again}")
