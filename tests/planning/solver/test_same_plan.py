"""The same problem has the same plan, in whatever process and however often it is asked for."""

import json
import os
import subprocess
import sys

import pytest

SEARCH = """
import json, sys
from bayapp.planning.core.effort import Effort
from bayapp.planning.solver.solve import solve
from tests.bench.plan_jobs import held_back
plan = solve(held_back(sys.argv[1], 2).problem, Effort(1.0, patience=200))
print(json.dumps([plan.status, plan.makespan_s, plan.bound_s, dict(plan.starts_s)]))
"""
DAY = """
import sys
from bayapp.planning.core.effort import Effort
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.work import plan_work
from tests.bench.plan_jobs import held_back_state
state, at = held_back_state(sys.argv[1], 2)
print(plan_work(state, at, Shop(), Effort(0.5, patience=400)).model_dump_json())
"""


def answer(code: str, name: str, seed: int) -> str:
    """What a fresh process answers that puts its sets in an order of its own."""
    finished = subprocess.run(
        [sys.executable, "-c", code, name],
        env={**os.environ, "PYTHONHASHSEED": str(seed)},
        capture_output=True,
        text=True,
        check=True,
    )
    return finished.stdout


def test_two_fresh_searches_of_a_day_end_with_one_plan():
    one, other = (json.loads(answer(SEARCH, "van", seed)) for seed in (1, 2))
    assert one == other
    assert one[0] == "feasible", "a day that is solved at once would show nothing"


@pytest.mark.slow
@pytest.mark.timeout(900)
def test_two_fresh_plans_of_a_day_are_one_work_order():
    one, other = (answer(DAY, "estate's glass and motorcycle", seed) for seed in (1, 2))
    assert one == other
