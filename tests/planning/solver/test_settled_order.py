"""Around one plan no guard is left to decide, and whatever is found there is a plan of the whole."""

from dataclasses import replace

from hypothesis import event, given, settings
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Guard, Lag, Problem, Task
from bayapp.planning.heuristic.list_scheduling import Manner, dispatch
from bayapp.planning.solver.settled_order import as_settled
from tests.planning.any_problem import days_of_alike_zones, planned_problems
from tests.planning.checker import faults


def test_what_a_coat_keeps_out_stays_before_or_after_it():
    tasks = (Task("coat", 60), Task("buff", 60), Task("polish", 60), Task("sand", 60))
    dust = Guard("dust", "coat", "buff", frozenset({"polish", "sand"}), longer_s=30)
    problem = Problem(tasks, (Lag("coat", "buff"),), {"person": 2}, (), (dust,))
    plan = Plan("feasible", 270, None, {"polish": 0, "coat": 60, "buff": 120, "sand": 210})
    assert faults(problem, plan) == []
    settled, same = as_settled(problem, plan)
    assert settled.guards == ()
    assert same == plan
    assert faults(settled, plan) == []
    other_way = Plan("feasible", 270, None, {"sand": 0, "coat": 60, "buff": 120, "polish": 210})
    assert faults(problem, other_way) == []
    assert faults(settled, other_way) != []


@given(planned_problems())
@settings(max_examples=80, deadline=None)
def test_the_plan_obeys_the_narrower_problem(planned: tuple[Problem, Plan]):
    problem, plan = planned
    settled, turned = as_settled(problem, plan)
    assert faults(problem, turned) == []
    assert faults(settled, turned) == []


@given(days_of_alike_zones(), st.integers(0, 99), st.integers(1, 99))
@settings(max_examples=80, deadline=None)
def test_any_plan_of_the_narrower_problem_is_one_of_the_whole(problem: Problem, seed: int, other: int):
    plan = dispatch(problem, manner=Manner(noise=0.9, seed=seed))
    if not plan.starts_s:
        return
    settled, turned = as_settled(problem, plan)
    assert all(guard.first is None for guard in settled.guards)
    assert faults(settled, turned) == []
    found = dispatch(settled, manner=Manner(noise=0.9, seed=other))
    event(f"found {bool(found.starts_s)}, another {found.starts_s != turned.starts_s}")
    if found.starts_s:
        assert faults(problem, replace(found, status="feasible")) == []
