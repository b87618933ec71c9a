"""However long work takes, a day keeps every rule that waiting can keep; only latest moments can be missed."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.robust.risk import Risk, simulate
from bayapp.planning.robust.schedule_simulation import ScheduleSimulation
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults


@given(planned_problems())
@settings(max_examples=150, deadline=None)
def test_a_day_on_which_everything_takes_what_is_expected_is_the_plan(planned):
    problem, plan = planned
    expected = np.array([[float(t.duration_s)] for t in problem.tasks])
    starts, ends = ScheduleSimulation(problem, plan).run(expected)
    assert {t.id: starts[row, 0] for row, t in enumerate(problem.tasks)} == plan.starts_s
    assert ends.max() == plan.makespan_s
    sigma = dict.fromkeys(plan.starts_s, 0.0)
    risk = simulate(problem, plan, sigma, runs=2)
    assert (risk.lapse_chance, risk.finish_p50_s) == (0, plan.makespan_s)


@given(planned_problems(), st.data())
@settings(max_examples=150, deadline=None)
def test_whatever_work_takes_every_rule_is_kept_but_breaks_that_work_runs_into(planned, data):
    problem, plan = planned
    took = data.draw(st.lists(st.integers(1, 30), min_size=len(problem.tasks), max_size=len(problem.tasks)))
    tasks = tuple(replace(t, duration_s=d if t.duration_s else 0) for t, d in zip(problem.tasks, took, strict=True))
    starts, ends = ScheduleSimulation(problem, plan).run(np.array([[float(t.duration_s)] for t in tasks]))
    began = {t.id: round(starts[row, 0]) for row, t in enumerate(tasks)}
    forward = _looking_forward(problem, plan)
    real = replace(problem, tasks=tasks, lags=forward, closed={})
    assert faults(real, Plan("feasible", round(ends.max()), None, began, plan.done_by)) == []
    expected_ends = max(began[t.id] + t.duration_s for t in problem.tasks)
    as_expected = replace(problem, lags=(), lasts=(), forbidden=(), capacities=dict.fromkeys(problem.capacities, 99))
    assert faults(as_expected, Plan("feasible", expected_ends, None, began, plan.done_by)) == []


def _looking_forward(problem: Problem, plan: Plan) -> tuple[Lag, ...]:
    """The waits that someone can keep by waiting: those whose first task the plan begins before the other."""
    course = ScheduleSimulation(problem, plan)
    return tuple(lag for lag in problem.lags if course.can_hold_back(lag))


@given(planned_problems(), st.data())
@settings(max_examples=150, deadline=None)
def test_nothing_begins_earlier_because_something_took_longer(planned, data):
    problem, plan = planned
    some = st.lists(st.floats(0.1, 30), min_size=len(problem.tasks), max_size=len(problem.tasks))
    took, longer = np.array([data.draw(some)]).T, np.array([data.draw(some)]).T
    course = ScheduleSimulation(problem, plan)
    assert (course.run(took + longer)[0] >= course.run(took)[0]).all()


@given(planned_problems(), st.integers(0, 40), st.integers(0, 40))
@settings(max_examples=40, deadline=None)
def test_a_longer_window_is_missed_no_more_often(planned, window, more):
    problem, plan = planned
    first, then = sorted(plan.starts_s, key=lambda t: plan.starts_s[t])[:2]

    def missed(most: int) -> Risk:
        with_window = replace(problem, lags=(*problem.lags, Lag(first, then, -999, most, "start-start")))
        return simulate(with_window, plan, runs=50)

    tight, wide = missed(window), missed(window + more)
    assert wide.lapse_of[then] <= tight.lapse_of[then]
    assert wide.lapse_chance <= tight.lapse_chance
    assert wide.finish_p90_s == tight.finish_p90_s


@given(planned_problems(), st.integers(0, 9))
@settings(max_examples=40, deadline=None)
def test_the_chance_of_any_lapse_lies_between_the_greatest_and_the_sum(planned, window):
    problem, plan = planned
    latest = tuple(replace(t, latest_s=plan.starts_s[t.id] + window) for t in problem.tasks)
    risk = simulate(replace(problem, tasks=latest), plan, runs=200)
    assert max(risk.lapse_of.values()) <= risk.lapse_chance <= sum(risk.lapse_of.values()) + 1e-9
    assert set(risk.lapse_of) == set(plan.starts_s)
    assert risk.finish_p50_s <= risk.finish_p90_s


def test_of_two_that_begin_together_what_the_other_waits_for_comes_first():
    # The sign is put up in no time, and the coat waits for it; in the problem it stands second.
    tasks = (Task("coat", 60), Task("sign", 0), Task("prepare", 100, {}))
    problem = Problem(tasks, (Lag("sign", "coat"), Lag("prepare", "sign")))
    course = ScheduleSimulation(problem, Plan("feasible", 160, None, {"coat": 100, "sign": 100, "prepare": 0}))
    assert [t.id for t in course.order] == ["prepare", "sign", "coat"]
    starts, _ = course.run(np.array([[60.0], [0.0], [500.0]]))
    assert starts[:, 0].tolist() == [500, 500, 0]


def test_a_wait_for_the_last_of_several_counts_at_least_from_its_own_moment():
    # One zone was done 250 s after the beginning of the plan, whatever becomes of the other.
    problem = Problem(
        (Task("coat", 300, {}), Task("buff", 60)), (Lag("both", "buff", 100),), lasts=(LastOf("both", ("coat",), 250),)
    )
    course = ScheduleSimulation(problem, Plan("feasible", 460, None, {"coat": 0, "buff": 400}))
    starts, _ = course.run(np.array([[100.0, 300.0, 500.0], [60.0, 60.0, 60.0]]))
    assert starts[1].tolist() == [350, 400, 600]


def test_what_begins_as_an_interval_ends_comes_after_what_ends_it():
    tasks = (Task("dust", 60, {}), Task("coat", 100, {}), Task("sign", 0, {}))
    interval = ForbiddenInterval("open", "coat", "sign", frozenset({"dust"}))
    problem = Problem(tasks, (Lag("coat", "sign"),), forbidden=(interval,))
    starts, _ = ScheduleSimulation(problem, Plan("feasible", 160, None, {"dust": 100, "coat": 0, "sign": 100})).run(
        np.array([[60.0], [500.0], [0.0]])
    )
    assert starts[:, 0].tolist() == [500, 0, 500]


def test_two_that_must_begin_together_may_miss_each_other_and_it_is_counted():
    tasks = (Task("left", 60, {"a": 1}), Task("right", 60, {"b": 1}), Task("before", 100, {"a": 1}))
    both = (Lag("left", "right", basis="start-start"), Lag("right", "left", basis="start-start"))
    problem = Problem(tasks, both, {"a": 1, "b": 1})
    plan = Plan("feasible", 160, None, {"left": 100, "right": 100, "before": 0})
    risk = simulate(problem, plan, {"before": 0.3}, runs=1000)
    assert sum(risk.lapse_of.values()) == risk.lapse_chance == pytest.approx(0.5, abs=0.07)
