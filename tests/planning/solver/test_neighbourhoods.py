"""What a search around a plan may change, and that it only makes plans better."""

from itertools import pairwise

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, Problem, Task
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.neighbourhoods import better_plans
from bayapp.planning.solver.ortools_alone import cp_model
from tests.bench.plan_jobs import work
from tests.planning.support.checker import faults
from tests.planning.support.instances import job_shop, job_shop_optimum


def model_of(problem: Problem, plan: Plan) -> PlanModel:
    assert plan.makespan_s is not None
    return PlanModel(problem, plan.makespan_s)


def test_what_is_not_free_stays_and_what_is_later_moves_as_one():
    tasks = tuple(Task(name, 10) for name in ("before", "free", "late", "later"))
    problem = Problem(tasks)
    plan = Plan("feasible", 115, None, {"before": 5, "free": 60, "late": 80, "later": 105})
    built = model_of(problem, plan)
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    assert solver.solve(built.around(plan, {"free"}, {"late", "later"})) == cp_model.OPTIMAL
    starts = built.read_starts(solver)
    # the free task fits between the two that move with 15 between them, which then come straight after the first
    assert (starts["before"], starts["late"], starts["later"]) == (5, 15, 40)
    assert 25 <= starts["free"] <= 30


def test_who_does_a_task_that_is_not_free_stays_as_well():
    tasks = (Task("a", 10, {}, ("Ash", "Bo")), Task("b", 10, {}, ("Ash", "Bo")))
    problem = Problem(tasks, capacities={"Ash": 1, "Bo": 1})
    plan = Plan("feasible", 20, None, {"a": 0, "b": 10}, {"a": "Bo", "b": "Bo"})
    built = model_of(problem, plan)
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    assert solver.solve(built.around(plan, {"b"}, ())) == cp_model.OPTIMAL
    assert (built.read_done_by(solver), solver.value(built.makespan)) == ({"a": "Bo", "b": "Ash"}, 10)


def test_a_day_of_two_people_ends_sooner_and_obeys_every_rule_after_each_round():
    problem = work(50, 2).problem
    first = list_schedule(problem)
    plans = [first, *better_plans(model_of(problem, first), first, 0.2, 2)]
    assert all(faults(problem, plan) == [] for plan in plans)
    ends = [plan.makespan_s or 0 for plan in plans]
    assert all(later <= sooner for sooner, later in pairwise(ends))
    assert ends[-1] < ends[0]


def test_it_reaches_the_known_end_of_a_published_job_shop():
    """The six by six of J. F. Muth and G. L. Thompson, Industrial Scheduling, Prentice-Hall, 1963: it ends at 55."""
    problem, optimum = job_shop("ft06"), job_shop_optimum("ft06")
    first = list_schedule(problem)
    *_, last = better_plans(model_of(problem, first), first, 0.1, 2)
    assert faults(problem, last) == []
    assert first.makespan_s != optimum, "nothing would be left to find"
    assert last.makespan_s == optimum


def test_two_tasks_move_up_as_far_as_the_wait_between_them_lets_them():
    problem = Problem((Task("a", 10), Task("b", 20)), (Lag("a", "b", 5),))
    plan = Plan("feasible", 100, None, {"a": 0, "b": 80})
    *_, last = better_plans(model_of(problem, plan), plan, 0.001, 1)
    assert (dict(last.starts_s), last.makespan_s) == ({"a": 0, "b": 15}, 35)
