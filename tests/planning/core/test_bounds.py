"""No bound cuts off a plan: what is proven before any search holds for every plan of any bay."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import earliest_starts, horizon, least_left
from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.solver.model import PlanModel
from tests.planning.support.any_bay import bays
from tests.planning.support.any_problem import any_order, planned_problems
from tests.planning.support.checker import faults
from tests.planning.support.least_end import least_end


def assert_within_bounds(problem: Problem, plan: Plan) -> None:
    assert plan.makespan_s is not None
    known = with_implied(problem, plan.makespan_s)
    assert least_end(known) <= plan.makespan_s
    starts, left = earliest_starts(known), least_left(known)
    for task, start in plan.starts_s.items():
        assert starts[task] <= start
        assert left[task] <= plan.makespan_s - start
    assert faults(replace(problem, tasks=known.tasks, lags=known.lags, lasts=known.lasts), plan) == []


@given(bays(), st.integers(0, 3))
@settings(deadline=None, max_examples=50)
def test_no_plan_of_a_bay_is_sooner_than_its_bounds_or_breaks_what_is_implied(bay: Situation, seed: int):
    problem = work_of(bay).problem
    plan = list_schedule(problem, prefer=any_order(problem, seed))
    if plan.starts_s:
        assert_within_bounds(problem, plan)


@given(planned_problems(shortest=1))
@settings(deadline=None, max_examples=50)
def test_no_plan_found_by_trying_is_sooner_than_its_bounds(planned: tuple[Problem, Plan]):
    assert_within_bounds(*planned)


@given(planned_problems(shortest=1))
@settings(deadline=None, max_examples=25)
def test_the_soonest_end_of_a_bare_search_lies_between_the_bounds(planned: tuple[Problem, Plan]):
    problem, _ = planned
    built = PlanModel(problem, horizon(problem) + 100)  # a horizon that is too near would show as a later plan
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(built.model) == cp_model.OPTIMAL
    assert least_end(problem) <= solver.value(built.makespan) <= horizon(problem)


def test_a_chain_of_waits_is_a_bound_by_itself():
    problem = Problem(
        (Task("coat", 60), Task("level", 30)), (Lag("coat", "level", min_s=300),), capacities={"person": 5}
    )
    assert least_end(problem) == 390


def test_nothing_to_do_takes_no_time():
    assert (least_end(Problem(())), horizon(Problem(()))) == (0, 0)


def test_in_the_worst_case_everything_waits_for_everything():
    tasks = (Task("coat", 60, earliest_s=10), Task("buff", 30))
    problem = Problem(
        tasks,
        (Lag("coated", "buff", 900),),
        lasts=(LastOf("coated", ("coat",), 40),),
        forbidden=(ForbiddenInterval("dry", "coat", "coat", frozenset({"buff"}), 7200),),
        closed={"person": ((50, 80),)},
    )
    assert horizon(problem) >= 10 + 60 + 900 + 30 + 7200 + 30


def test_what_was_over_long_ago_takes_nothing_off_the_horizon():
    tasks = (Task("coat", 60), Task("buff", 30))
    lasts = (LastOf("coated", ("coat",), -7200),)
    assert horizon(Problem(tasks, (Lag("coated", "buff"),), lasts=lasts)) >= 90
