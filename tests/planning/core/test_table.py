"""A plan laid out so that tasks can be moved: a move is made only where every rule then holds."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.core.table import Table
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults

COAT, BUFF, WASH = Task("coat", 120), Task("buff", 60), Task("wash", 60)


def laid(problem: Problem, **starts: int) -> Table:
    makespan = max(starts[t.id] + t.duration_s for t in problem.tasks)
    plan = Plan("feasible", makespan, None, starts)
    assert faults(problem, plan) == []
    return Table(problem, plan)


@given(planned_problems(shortest=1), st.data())
@settings(max_examples=120, deadline=None)
def test_a_move_is_made_exactly_where_the_plan_is_right_after_it(planned: tuple[Problem, Plan], data: st.DataObject):
    problem, plan = planned
    table = Table(problem, plan)
    moved = data.draw(st.lists(st.sampled_from(problem.tasks), max_size=2, unique_by=lambda t: t.id))
    moves = {t.id: max(0, plan.starts_s[t.id] + data.draw(st.integers(-8, 8))) for t in moved}
    starts = {**plan.starts_s, **moves}
    end = max(starts[t.id] + t.duration_s for t in problem.tasks)
    right = faults(problem, replace(plan, starts_s=starts, makespan_s=end)) == []
    assert table.moved(moves) is right
    assert table.starts == (starts if right else dict(plan.starts_s))
    assert faults(problem, table.read()) == []


@pytest.mark.parametrize(("start", "fits"), [(119, False), (120, True), (150, True), (151, False)])
def test_a_task_is_moved_within_its_window(start: int, fits: bool):
    table = laid(Problem((COAT, BUFF), (Lag("coat", "buff", 0, 30),)), coat=0, buff=125)
    assert table.moved({"buff": start}) is fits
    assert table.starts["buff"] == (start if fits else 125)


def test_the_last_of_several_moves_the_moment():
    problem = Problem((COAT, WASH, BUFF), (Lag("both", "buff", 10, 100),), lasts=(LastOf("both", ("coat", "wash"), 5),))
    table = laid(problem, coat=0, wash=120, buff=200)
    assert table.anchor(problem.lags[0]) == 180
    assert not table.moved({"wash": 131})
    assert table.moved({"wash": 125})
    assert not table.moved({"wash": 260})


def test_an_interval_and_a_break_keep_a_task_out():
    forbidden = (ForbiddenInterval("dry", "coat", "coat", frozenset({"wash"}), 40),)
    table = laid(Problem((COAT, WASH), forbidden=forbidden, closed={"person": ((300, 400),)}), coat=0, wash=160)
    assert [table.moved({"wash": start}) for start in (159, 241, 240, 400)] == [False, False, True, True]


def test_what_is_near_its_latest_moment_falls_short_by_as_much_as_one_would_wish_more():
    problem = Problem((COAT, replace(BUFF, latest_s=400)), (Lag("coat", "buff", 0, 100),))
    wished = 50  # half of the window from the coat; and half of the 400 until the latest start
    assert laid(problem, coat=0, buff=120).shortfall() == 0
    assert laid(problem, coat=0, buff=200).shortfall() == wished - 20
    assert laid(problem, coat=200, buff=320).shortfall() == 200 - 80


def test_no_more_than_ten_minutes_to_spare_are_wished_for():
    table = laid(Problem((COAT, BUFF), (Lag("coat", "buff", 0, 36_000),)), coat=0, buff=120 + 36_000 - 500)
    assert table.shortfall() == 100
