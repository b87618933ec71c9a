"""Other orders of the same work: each obeys every rule, none ends later than the one before, and they come twice."""

from itertools import pairwise

from hypothesis import given, settings

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem, Task
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.heuristic.order_search import better_orders
from tests.bench.plan_jobs import held_back
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults
from tests.planning.support.instances import job_shop, job_shop_optimum


@given(planned_problems(shortest=1))
@settings(max_examples=40, deadline=None)
def test_whatever_the_problem_every_order_obeys_it(planned: tuple[Problem, Plan]):
    problem, _ = planned
    plans = list(better_orders(problem, 0.001))
    assert plans
    assert all(faults(problem, plan) == [] for plan in plans if plan.starts_s)


def test_on_a_day_of_two_cars_no_order_ends_later_than_the_one_before_it():
    problem = held_back("estate's glass and motorcycle", 2).problem
    plans = [list_schedule(problem), *better_orders(problem, 0.5)]
    ends = [plan.makespan_s or 0 for plan in plans]
    assert all(faults(problem, plan) == [] for plan in plans)
    assert all(later <= sooner for sooner, later in pairwise(ends))


def test_it_comes_nearer_to_the_known_end_of_a_published_job_shop():
    """The six by six of J. F. Muth and G. L. Thompson, Industrial Scheduling, Prentice-Hall, 1963: it ends at 55."""
    problem, optimum = job_shop("ft06"), job_shop_optimum("ft06")
    first = list_schedule(problem).makespan_s or 0
    *_, last = better_orders(problem, 0.5)
    assert faults(problem, last) == []
    assert optimum <= (last.makespan_s or 0) < first


def test_the_same_problem_has_the_same_orders():
    problem = job_shop("ft06")
    assert list(better_orders(problem, 0.1)) == list(better_orders(problem, 0.1))


def test_it_ends_where_nothing_can_begin():
    never = Problem((Task("coat", 60, latest_s=30), Task("level", 60, latest_s=30)))
    assert all(plan.status == "unknown" for plan in better_orders(never, 0.01))
