"""How a search may end: proven, good so far, impossible, out of time, stopped."""

import pytest

from bayapp.planning.core.check import faults as own_faults
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.solver.solve import solve
from tests.planning.support.checker import faults
from tests.planning.support.instances import job_shop

ENOUGH_S = 20.0


def best(problem: Problem) -> Plan:
    plan = solve(problem, Effort(ENOUGH_S, workers=1))
    assert faults(problem, plan) == []
    assert plan.status == "optimal"
    return plan


def out_of_reach() -> Problem:
    """The ten by ten job shop with every latest start at its optimum: nobody hits upon that in a moment."""
    shop = job_shop("ft10")
    return Problem(tuple(Task(t.id, t.duration_s, t.uses, (), 0, 930 - t.duration_s) for t in shop.tasks), shop.lags,
                   shop.capacities)  # fmt: skip


def test_nothing_to_do_is_done_at_once():
    assert best(Problem(())).makespan_s == 0


def test_one_person_fills_one_wait_with_other_work():
    tasks = (Task("coat", 120), Task("level", 60), Task("wipe", 200))
    plan = best(Problem(tasks, (Lag("coat", "level", 180, 300),)))
    assert plan.makespan_s == 120 + 200 + 60
    assert dict(plan.starts_s) == {"coat": 0, "wipe": 120, "level": 320}


def test_a_latest_moment_may_count_from_the_first_stroke():
    tasks = (Task("coat", 120), Task("level", 60), Task("wipe", 200))
    plan = best(Problem(tasks, (Lag("coat", "level"), Lag("coat", "level", 0, 300, "start-start"))))
    assert plan.starts_s["level"] <= plan.starts_s["coat"] + 300


def test_who_can_do_it_does_it():
    tasks = (Task("polish", 60, {}, ("Ash",)), Task("coat", 60, {}, ("Ash", "Bo")))
    plan = best(Problem(tasks, capacities={"Ash": 1, "Bo": 1}))
    assert (plan.makespan_s, plan.done_by) == (60, {"polish": "Ash", "coat": "Bo"})


def test_a_moment_of_several_is_waited_for_and_breaks_are_kept():
    tasks = (Task("a", 60), Task("b", 60), Task("buff", 30))
    problem = Problem(
        tasks, (Lag("coated", "buff", 100),), lasts=(LastOf("coated", ("a", "b")),), closed={"person": ((200, 500),)}
    )
    assert best(problem).starts_s["buff"] == 500  # 120 + 100 is in the break


def test_dust_waits_until_the_coat_is_levelled():
    tasks = (Task("coat", 60), Task("level", 60), Task("polish", 60))
    problem = Problem(
        tasks,
        (Lag("coat", "level", 30, 60),),
        forbidden=(ForbiddenInterval("g", "coat", "level", frozenset({"polish"})),),
    )
    plan = best(problem)
    assert plan.makespan_s == 210
    assert not plan.starts_s["coat"] <= plan.starts_s["polish"] < plan.starts_s["level"] + 60


def test_what_cannot_be_is_named_with_what_clashes():
    tasks = (Task("a", 60, latest_s=10), Task("b", 60, latest_s=10), Task("c", 5))
    plan = solve(Problem(tasks), Effort(ENOUGH_S, workers=1))
    assert (plan.status, plan.clash, plan.starts_s, plan.makespan_s) == ("infeasible", tasks[:2], {}, None)


def test_out_of_time_with_no_plan_is_unknown_and_claims_nothing():
    plan = solve(out_of_reach(), Effort(0.05, workers=1))
    assert plan == Plan("unknown")


def test_a_search_that_is_stopped_before_it_begins_gives_the_first_plan():
    problem = job_shop("ft10")
    plan = solve(problem, Effort(ENOUGH_S, workers=1, stopped=lambda: True))
    assert faults(problem, plan) == []
    assert plan.status == "feasible"
    assert plan.makespan_s is not None
    assert plan.makespan_s >= 930
    assert plan.bound_s is None, "nothing was searched, so nothing is proven"


def test_a_stopped_search_with_no_plan_is_unknown():
    assert solve(out_of_reach(), Effort(ENOUGH_S, workers=1, stopped=lambda: True)).status == "unknown"


def test_each_plan_that_is_passed_on_is_right_and_better_than_the_last():
    problem, heard = job_shop("la01"), list[Plan]()
    plan = solve(problem, Effort(ENOUGH_S, workers=1), on_better=heard.append)
    ends = [p.makespan_s or 0 for p in heard]
    assert plan.makespan_s == 666
    assert ends == sorted(ends, reverse=True)
    assert ends[-1] == 666
    assert [faults(problem, p) for p in heard] == [[]] * len(heard)


def test_a_good_hint_is_never_made_worse():
    problem = job_shop("la02")
    known = best(problem)
    assert solve(problem, Effort(0.05, workers=1, stopped=lambda: True), hint=known).makespan_s == known.makespan_s


@pytest.mark.parametrize(
    "wrong",
    [
        Plan("feasible", 60, 0, {"a": 0}),
        Plan("feasible", 60, 0, {"a": 0, "b": 0}),
        Plan("feasible", 1, 0, {"a": 0, "b": 60}),
    ],
)
def test_a_hint_that_is_no_plan_of_this_problem_does_no_harm(wrong: Plan):
    problem = Problem((Task("a", 60), Task("b", 60)))
    assert own_faults(problem, wrong)
    assert solve(problem, Effort(ENOUGH_S, workers=1), hint=wrong).makespan_s == 120
