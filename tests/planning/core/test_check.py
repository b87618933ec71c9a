"""What is asked of every answer before anybody sees it, held against a checker written by somebody else."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.check import faults
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults as found_by_another


@given(planned_problems(shortest=1), st.data())
@settings(max_examples=150, deadline=None)
def test_whatever_is_moved_both_say_the_same(planned: tuple[Problem, Plan], data: st.DataObject):
    problem, plan = planned
    assert faults(problem, plan) == []
    moved = data.draw(st.sampled_from(problem.tasks))
    start = max(0, plan.starts_s[moved.id] + data.draw(st.integers(-8, 8)))
    starts = {**plan.starts_s, moved.id: start}
    makespan = max(starts[t.id] + t.duration_s for t in problem.tasks)
    other = replace(plan, starts_s=starts, makespan_s=makespan)
    assert bool(faults(problem, other)) == bool(found_by_another(problem, other))


TASKS = (Task("coat", 60), Task("buff", 30, earliest_s=10, latest_s=500))


def only(problem: Problem, **starts: int) -> str:
    """The one fault of a plan with these starts."""
    makespan = max(starts[t.id] + t.duration_s for t in problem.tasks)
    (fault,) = faults(problem, Plan("feasible", makespan, None, starts))
    return fault


def test_each_fault_is_a_sentence_of_its_own():
    assert only(Problem(TASKS), coat=600, buff=501) == "buff starts at 501, outside 10 to 500"
    assert only(Problem(TASKS), coat=0, buff=59) == "person is used 2 times at 59, and there are 1"
    waits = Problem(TASKS, (Lag("coat", "buff", 30, 60),))
    assert only(waits, coat=0, buff=89) == "buff starts 29 s after coat, outside 30 to 60"
    assert only(waits, coat=0, buff=121) == "buff starts 61 s after coat, outside 30 to 60"
    last = Problem(TASKS, (Lag("coated", "buff", 30),), lasts=(LastOf("coated", ("coat",), 100),))
    assert only(last, coat=0, buff=129) == "buff starts 29 s after coated, outside 30 to None"
    shut = Problem(TASKS, closed={"person": ((65, 70),)})
    assert only(shut, coat=0, buff=60) == "buff runs while person is away"
    forbidden = Problem(TASKS, forbidden=(ForbiddenInterval("no dust", "coat", "coat", frozenset({"buff"}), 40),))
    assert only(forbidden, coat=0, buff=99) == "buff runs inside no dust, 0 to 100"
    named = Problem((Task("coat", 60, {}, ("Ash",)),), capacities={"Ash": 1})
    assert only(named, coat=0) == "coat is done by None, not by one of Ash"


def test_a_task_without_a_start_and_a_wrong_end_are_named():
    assert faults(Problem(TASKS), Plan("feasible", 60, None, {"coat": 0})) == ["buff has no start"]
    assert faults(Problem(TASKS), Plan("feasible", 99, None, {"coat": 0, "buff": 60})) == [
        "the last task ends at 90, not at 99"
    ]
