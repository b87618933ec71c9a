"""How late a plan is for what was promised: worked out by hand."""

import pytest

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Promise, Task
from bayapp.planning.core.promises import (
    late_work,
    lateness_s,
    least_lateness_s,
    merit,
    no_later,
    only,
    with_deadlines,
    with_first,
)
from tests.planning.support.checker import faults

TASKS = (Task("wipe", 60), Task("coat", 120), Task("polish", 300))
EARLY = Promise("today", 400, frozenset({"wipe", "coat"}), {"coat": 100})
LATE = Promise("tomorrow", 10_000, frozenset({"polish"}), {"polish": 0})
PROBLEM = Problem(TASKS, promises=(EARLY, LATE))
IN_ORDER = Plan("feasible", 480, None, {"wipe": 0, "coat": 60, "polish": 180})
POLISH_FIRST = Plan("feasible", 480, None, {"polish": 0, "wipe": 300, "coat": 360})


def test_a_coat_is_ready_once_it_has_dried():
    """It ends at 180 and dries for 100: 280, in time for 400. After the polish it ends at 480: 580, 180 late."""
    assert (lateness_s(PROBLEM, IN_ORDER), lateness_s(PROBLEM, POLISH_FIRST)) == (0, 180)
    assert merit(PROBLEM, IN_ORDER) < merit(PROBLEM, POLISH_FIRST)
    assert no_later(PROBLEM, IN_ORDER, POLISH_FIRST)
    assert not no_later(PROBLEM, POLISH_FIRST, IN_ORDER)


def test_what_is_late_whatever_is_done_is_known():
    """The coat alone lasts until 120 and dries until 220: 70 late for 150."""
    assert least_lateness_s(PROBLEM) == 0
    assert least_lateness_s(Problem(TASKS, promises=(Promise("today", 150, frozenset({"coat"}), {"coat": 100}),))) == 70


def test_no_plan_with_deadlines_is_later_than_the_one_that_gave_them():
    assert faults(with_deadlines(PROBLEM, IN_ORDER), IN_ORDER) == []
    assert faults(with_deadlines(PROBLEM, POLISH_FIRST), POLISH_FIRST) == []
    assert faults(with_deadlines(PROBLEM, IN_ORDER), POLISH_FIRST) != []


def test_a_latest_start_of_its_own_holds_beside_a_promise():
    tight = Problem(
        (Task("coat", 120, latest_s=30),), promises=(Promise("car", 400, frozenset({"coat"}), {"coat": 0}),)
    )
    plan = Plan("feasible", 120, None, {"coat": 0})
    assert [task.latest_s for task in with_deadlines(tight, plan).tasks] == [30]


def test_where_nothing_was_promised_the_problem_stays_the_same():
    plain = Problem(TASKS)
    assert with_deadlines(plain, IN_ORDER) is plain
    assert (lateness_s(plain, POLISH_FIRST), least_lateness_s(plain)) == (0, 0)


def test_the_work_that_is_late_is_planned_by_itself_and_the_rest_after_it():
    work = late_work(PROBLEM, POLISH_FIRST)
    assert work == {"wipe", "coat"}
    alone = only(PROBLEM, work)
    assert sorted(task.id for task in alone.tasks) == ["coat", "wipe"]
    assert [promise.id for promise in alone.promises] == ["today"]
    first = Plan("feasible", 180, None, {"wipe": 0, "coat": 60})
    moments = {task.id: (task.earliest_s, task.latest_s) for task in with_first(PROBLEM, first).tasks}
    assert moments == {"wipe": (0, 0), "coat": (60, 60), "polish": (180, None)}


def test_what_is_left_of_waits_and_intervals_is_only_what_is_about_that_work():
    problem = Problem(
        TASKS,
        (Lag("wipe", "coat", 10), Lag("all", "coat"), Lag("polish", "wipe")),
        lasts=(LastOf("all", ("wipe", "polish")),),
        forbidden=(
            ForbiddenInterval("dust", "coat", "coat", frozenset({"polish", "wipe"})),
            ForbiddenInterval("water", "polish", "polish", frozenset({"coat"})),
        ),
    )
    alone = only(problem, frozenset({"wipe", "coat"}))
    assert alone.lags == (Lag("wipe", "coat", 10), Lag("all", "coat"))
    assert alone.lasts == (LastOf("all", ("wipe",)),)
    assert alone.forbidden == (ForbiddenInterval("dust", "coat", "coat", frozenset({"wipe"})),)


def test_a_promise_of_work_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="promise 'car' names 'buff'"):
        Problem(TASKS, promises=(Promise("car", 0, frozenset({"buff"}), {}),))
