"""A problem with narrower windows: what holds for it holds for the problem itself."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, Problem, Task
from bayapp.planning.core.shrunken_windows import with_shrunken_windows
from bayapp.planning.from_bay.from_job import work_of
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.robust.risk import simulate
from bayapp.planning.robust.robust import more_robust
from tests.planning.support.any_bay import bays
from tests.planning.support.checker import faults


@given(bays(), st.sampled_from([0.15, 0.3, 0.5, 1.0]))
@settings(deadline=None, max_examples=40)
def test_every_plan_of_the_narrower_problem_is_one_of_the_wider(bay: Situation, share: float):
    problem = work_of(bay).problem
    plan = list_schedule(with_shrunken_windows(problem, share))
    if plan.starts_s:
        assert faults(problem, plan) == []


@pytest.mark.parametrize(
    ("lag", "share", "most"),
    [
        (Lag("a", "b", 60, 660), 0.5, 360),
        (Lag("a", "b", 60, 660), 1, 60),
        (Lag("a", "b", 60), 0.5, None),
        (Lag("a", "b", -100, 100), 0.5, 0),
        (Lag("a", "b", -198, -66), 1, -66),
        (Lag("a", "b", -900, 100), 0.5, 0),  # as wide to both sides of the end as its nearer edge
    ],
)
def test_a_share_is_taken_off_the_end_of_each_window(lag: Lag, share: float, most: int | None):
    problem = Problem((Task("a", 1), Task("b", 1)), (lag,))
    assert with_shrunken_windows(problem, share).lags[0].max_s == most


def test_a_latest_start_comes_nearer_but_never_before_the_earliest_and_what_runs_stays():
    tasks = (Task("a", 1, earliest_s=100, latest_s=300), Task("b", 1, latest_s=0), Task("c", 1))
    assert [t.latest_s for t in with_shrunken_windows(Problem(tasks), 0.5).tasks] == [200, 0, None]


def test_a_window_that_closes_before_it_opens_stays_as_impossible_as_it_is():
    never_right = Problem((Task("a", 1, earliest_s=120, latest_s=119),))
    assert with_shrunken_windows(never_right, 0.5) == never_right


def test_a_plan_without_any_window_is_as_sturdy_as_can_be():
    problem = Problem((Task("a", 60), Task("b", 60)))
    plan = list_schedule(problem)
    found = more_robust(problem, plan, {"a": 0.2, "b": 0.2}, Effort(1, 1))
    assert found[0].starts_s == plan.starts_s


def test_a_plan_that_cuts_it_fine_gives_way_to_one_with_time_to_spare():
    tasks = (Task("coat", 60), Task("level", 60), Task("long", 580))
    problem = Problem(tasks, (Lag("coat", "level", 0, 600),))
    fine = Plan("optimal", 700, 700, {"coat": 0, "long": 60, "level": 640})
    assert faults(problem, fine) == []
    spread = dict.fromkeys(problem.task_of, 0.2)
    assert simulate(problem, fine, spread).lapse_chance > 0.2
    found, cost = more_robust(problem, fine, spread, Effort(1, 1))
    assert faults(problem, found) == []
    assert (cost, found.status, found.bound_s) == (0, "optimal", 700)
    assert found.starts_s["level"] < found.starts_s["long"] or found.starts_s["long"] < found.starts_s["coat"]
    assert simulate(problem, found, spread).lapse_chance == 0
