"""A plan that breaks its problem never leaves the planner, wherever it comes from; that it did so is written down."""

import logging
from dataclasses import replace

import pytest

from bayapp.planning import relaxation
from bayapp.planning.core.check import checked, faults
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem, Task
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.relaxation import relaxed
from bayapp.planning.solver import search
from bayapp.planning.solver.solve import solve
from tests.bench.plan_jobs import day

TWO = Problem((Task("a", 60), Task("b", 60)))
BOTH_AT_ONCE = Plan("feasible", 60, None, {"a": 0, "b": 0})


def all_at_once(problem: Problem, *_: object) -> Plan:
    """What a broken scheduler might answer: everything begins now."""
    ends = max(task.duration_s for task in problem.tasks)
    return Plan("feasible", ends, None, dict.fromkeys(problem.task_of, 0))


def test_a_plan_that_is_right_passes_and_one_that_is_not_is_unknown(caplog: pytest.LogCaptureFixture):
    right = list_schedule(TWO)
    assert checked(TWO, right) is right
    assert not caplog.records
    assert checked(TWO, BOTH_AT_ONCE) == Plan("unknown")
    assert "person is used 2 times" in caplog.text
    caplog.clear()


def test_a_first_order_is_looked_over(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture):
    monkeypatch.setattr(relaxation, "list_schedule", all_at_once)
    state = day(50, 2)
    with caplog.at_level(logging.ERROR):
        assert relaxed(Situation(state, state.open_jobs[0].opened_at, Shop())).plan.starts_s == {}
    assert "breaks its own problem" in caplog.text
    caplog.clear()


def test_a_search_begins_from_no_wrong_plan(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(search, "list_schedule", all_at_once)
    found = solve(TWO, Effort(workers=1), hint=replace(BOTH_AT_ONCE, makespan_s=0))
    assert (faults(TWO, found), found.makespan_s) == ([], 120)
