"""The checker finds each way in which a plan can be wrong. The plans here were made by hand."""

from dataclasses import replace

import pytest

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from tests.planning.support.checker import faults

PROBLEM = Problem(
    tasks=(
        Task("wipe", 60, earliest_s=10),
        Task("coat", 120, {"person": 1, "lamp": 2}),
        Task("level", 60, {}, one_of=("ash", "bo")),
        Task("polish", 100, {"person": 1}, latest_s=500),
        Task("look", 0, {"person": 1, "lamp": 3}),
    ),
    lags=(
        Lag("wipe", "coat", min_s=30, max_s=90),
        Lag("coat", "level", min_s=20, max_s=200, basis="start-start"),
        Lag("both laid", "polish", min_s=15, max_s=100),
        Lag("look", "wipe", min_s=-300),
    ),
    capacities={"person": 1, "lamp": 3, "ash": 1, "bo": 1},
    lasts=(LastOf("both laid", ("coat", "wipe"), not_before_s=-50),),
    forbidden=(
        ForbiddenInterval("coat is open", first="coat", last="level", against=frozenset({"polish"}), longer_s=5),
    ),
    closed={"lamp": ((0, 100), (220, 240)), "bo": ((250, 280),)},
)
RIGHT = Plan(
    "optimal",
    makespan_s=385,
    bound_s=385,
    starts_s={"wipe": 10, "coat": 100, "level": 220, "polish": 285, "look": 230},
    done_by={"level": "ash"},
)


def moved(plan: Plan = RIGHT, **starts: int) -> Plan:
    """The plan with some starts changed; it claims no more than what then is true."""
    changed = {**plan.starts_s, **starts}
    ends = max(changed[t.id] + t.duration_s for t in PROBLEM.tasks)
    return replace(plan, status="feasible", starts_s=changed, makespan_s=ends, bound_s=None)


def only_fault(plan: Plan, problem: Problem = PROBLEM) -> str:
    found = faults(problem, plan)
    assert len(found) == 1, found
    return found[0]


def test_a_right_plan_has_no_faults():
    assert faults(PROBLEM, RIGHT) == []
    assert faults(PROBLEM, moved()) == []


def test_every_edge_of_a_wait_is_still_right():
    alone = replace(PROBLEM, forbidden=(), closed={}, tasks=PROBLEM.tasks)
    assert faults(alone, moved(coat=160, polish=295)) == []  # 90 after the wipe, 15 after the coat
    assert faults(alone, moved(coat=100, polish=320, level=300)) == []  # 100 after the last of both, 200 after


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (moved(wipe=9, coat=99), "wipe starts at 9, before 10"),
        (moved(coat=99), "coat waits 29 for wipe, less than 30"),
        (moved(coat=161, level=290, polish=355), "coat waits 91 for wipe, more than 90"),
        (moved(level=119), "level waits 19 for coat, less than 20"),
        (moved(level=301, polish=320, coat=100), "level waits 201 for coat, more than 200"),
        (moved(polish=321), "polish waits 101 for both laid, more than 100"),
        (moved(look=311), "wipe waits -301 for look, less than -300"),
        (moved(polish=284), "polish runs while coat is open forbids it, from 100 to 285"),
    ],
)
def test_each_missed_moment_is_found(plan, says):
    assert any(says in fault for fault in faults(PROBLEM, plan)), faults(PROBLEM, plan)


def test_a_wait_for_the_last_of_several_counts_from_the_latest_end():
    problem = replace(
        PROBLEM,
        forbidden=(),
        lags=(Lag("both laid", "polish", min_s=15),),
        capacities={**PROBLEM.capacities, "person": 2},
    )
    assert faults(problem, moved(coat=100, polish=235)) == []
    assert only_fault(moved(coat=100, polish=234), problem) == "polish waits 14 for both laid, less than 15"
    assert only_fault(moved(coat=100, wipe=161, polish=235), problem) == "polish waits 14 for both laid, less than 15"


def test_a_wait_may_count_from_before_the_plan_began():
    tasks, long_ago = (Task("polish", 10),), (LastOf("laid", (), not_before_s=-50),)
    problem = Problem(tasks, (Lag("laid", "polish", min_s=60, max_s=70),), lasts=long_ago)
    right = Plan("optimal", 20, 20, {"polish": 10})
    assert faults(problem, right) == []
    assert only_fault(replace(right, starts_s={"polish": 9}, makespan_s=19, bound_s=19), problem) == (
        "polish waits 59 for laid, less than 60"
    )
    assert only_fault(replace(right, starts_s={"polish": 21}, makespan_s=31, bound_s=31), problem) == (
        "polish waits 71 for laid, more than 70"
    )


def test_a_start_past_its_latest_moment_is_found():
    tasks = tuple(replace(t, latest_s=284) if t.id == "polish" else t for t in PROBLEM.tasks)
    assert only_fault(RIGHT, replace(PROBLEM, tasks=tasks)) == "polish starts at 285, after 284"


def test_two_tasks_of_one_person_may_touch_and_not_overlap():
    problem = Problem((Task("one", 10), Task("two", 10)))
    assert faults(problem, Plan("optimal", 20, 20, {"one": 10, "two": 0})) == []
    assert only_fault(Plan("optimal", 19, 19, {"one": 9, "two": 0}), problem) == "one makes 2 person at 9, of 1"


def test_amounts_of_a_resource_add_up():
    tasks = tuple(Task(name, 10, {"lamp": amount}) for name, amount in [("one", 2), ("two", 2), ("three", 1)])
    problem = Problem(tasks, capacities={"lamp": 4})
    assert faults(problem, Plan("optimal", 20, 20, {"one": 0, "two": 0, "three": 10})) == []
    assert only_fault(Plan("optimal", 19, 19, {"one": 0, "two": 0, "three": 9}), problem) == (
        "three makes 5 lamp at 9, of 4"
    )


def test_a_task_of_no_length_uses_nothing():
    assert faults(PROBLEM, moved(look=150)) == []  # in the middle of the coat, and between them more than there is


def test_whoever_does_a_task_does_nothing_else():
    problem = Problem(
        tuple(Task(name, 10, {}, one_of=("ash", "bo")) for name in ("one", "two")), capacities={"ash": 1, "bo": 1}
    )
    together = Plan("optimal", 10, 10, {"one": 0, "two": 0}, {"one": "ash", "two": "bo"})
    assert faults(problem, together) == []
    assert only_fault(replace(together, done_by={"one": "bo", "two": "bo"}), problem) == "two makes 2 bo at 0, of 1"


@pytest.mark.parametrize(
    ("done_by", "says"),
    [
        ({}, "level is done by None"),
        ({"level": "person"}, "level is done by person"),
        ({"level": "ash", "wipe": "bo"}, "wipe is done by bo, and nobody was asked for"),
        ({"level": "ash", "lunch": "bo"}, "lunch is done by somebody, and is no task"),
        ({"level": "bo"}, "level needs bo between 250 and 280, when it is not there"),
    ],
)
def test_the_wrong_hands_are_found(done_by, says):
    assert says in only_fault(replace(RIGHT, done_by=done_by))


def test_work_may_touch_a_break_and_not_reach_into_it():
    problem = Problem((Task("one", 10),), closed={"person": ((0, 5), (15, 20))})
    assert faults(problem, Plan("optimal", 15, 15, {"one": 5})) == []
    assert "between 0 and 5" in only_fault(Plan("feasible", 14, None, {"one": 4}), problem)
    assert "between 15 and 20" in only_fault(Plan("feasible", 16, None, {"one": 6}), problem)


def test_a_break_inside_a_long_task_is_found():
    problem = Problem((Task("one", 100),), closed={"person": ((40, 50),)})
    assert "between 40 and 50" in only_fault(Plan("feasible", 100, None, {"one": 0}), problem)


@pytest.mark.parametrize(("first", "last", "forbidden"), [(None, "coat", range(30)), ("coat", None, range(10, 45))])
def test_an_interval_without_a_first_or_last_task_counts_from_the_beginning(first, last, forbidden):
    interval = ForbiddenInterval("open", first, last, frozenset({"dust"}), longer_s=10 if last else 45)
    problem = Problem((Task("coat", 10, {}), Task("dust", 1, {})), forbidden=(interval,))
    wrong = [
        moment
        for moment in range(60)
        if faults(problem, Plan("feasible", max(20, moment + 1), None, {"coat": 10, "dust": moment}))
    ]
    assert wrong == list(forbidden)


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (replace(RIGHT, makespan_s=384), "the plan says that it ends at 384; its last task ends at 385"),
        (replace(RIGHT, makespan_s=None), "the plan says that it ends at None"),
        (replace(RIGHT, bound_s=384), "called optimal, but the bound is 384"),
        (replace(RIGHT, status="feasible", bound_s=386), "nothing is said to end before 386"),
        (replace(RIGHT, clash=(PROBLEM.lags[0],)), "there is a plan, and yet it names a clash"),
        (replace(RIGHT, starts_s={"wipe": 10}), "starts are given for ['wipe']"),
        (replace(RIGHT, starts_s={**RIGHT.starts_s, "lunch": 0}), "'lunch'"),
    ],
)
def test_a_claim_that_is_not_so_is_found(plan, says):
    assert says in only_fault(plan)


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (replace(RIGHT, status="infeasible"), "yet it says when things start"),
        (Plan("unknown", clash=(PROBLEM.lags[0],)), "yet it names a clash"),
        (Plan("infeasible", clash=(Lag("wipe", "polish"),)), "not part of the problem"),
        (Plan("infeasible", clash=(PROBLEM.tasks[0],)), "as late as it likes"),
    ],
)
def test_a_plan_that_there_is_none_of_claims_nothing_else(plan, says):
    assert says in only_fault(plan)


def test_a_clash_of_parts_of_the_problem_is_right():
    assert faults(PROBLEM, Plan("infeasible", clash=(PROBLEM.lags[0], PROBLEM.tasks[3]))) == []
    assert faults(PROBLEM, Plan("unknown", bound_s=10)) == []


def test_no_tasks_end_at_once():
    assert faults(Problem(()), Plan("optimal", 0, 0)) == []
