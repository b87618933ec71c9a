"""A problem in the longest unit that all its times are whole in ends as soon as it does in seconds."""

from math import gcd

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Guard, Lag, LastOf, Problem, Task
from bayapp.planning.core.time_unit import in_units, unit_of
from bayapp.planning.solver.solve import solve
from tests.planning.any_problem import planned_problems
from tests.planning.checker import faults


def test_the_unit_divides_every_time():
    task, polish = Task("coat", 180), Task("polish", 600, earliest_s=120, latest_s=6000)
    lag = Lag("polish", "coat", -60, 240)
    whole = Problem((task, polish), (lag,), closed={"person": ((3600, 5400),)})
    assert unit_of(whole) == 60
    assert unit_of(Problem((task, polish), (Lag("polish", "coat", -60, 250),))) == 10
    assert unit_of(Problem((task, polish), (lag,), lasts=(LastOf("last", ("coat",), -90),))) == 30
    assert unit_of(Problem((task, polish), (lag,), guards=(Guard("dust", "coat", "coat", frozenset(), 7),))) == 1
    assert unit_of(Problem((Task("nothing", 0),))) == 1


def test_every_time_is_divided():
    problem = Problem(
        (Task("coat", 180, earliest_s=60, latest_s=600), Task("level", 120)),
        (Lag("coat", "level", -60, 240, "start-start"),),
        {"person": 1},
        (LastOf("last", ("coat",), -120),),
        (Guard("dust", None, "coat", frozenset({"level"}), 300),),
        {"person": ((3600, 5400),)},
    )
    assert in_units(problem, 60) == Problem(
        (Task("coat", 3, earliest_s=1, latest_s=10), Task("level", 2)),
        (Lag("coat", "level", -1, 4, "start-start"),),
        {"person": 1},
        (LastOf("last", ("coat",), -2),),
        (Guard("dust", None, "coat", frozenset({"level"}), 5),),
        {"person": ((60, 90),)},
    )


@given(planned_problems(shortest=1), st.sampled_from([2, 30]))
@settings(max_examples=30, deadline=None)
def test_the_soonest_end_is_a_whole_number_of_units(planned: tuple[Problem, Plan], unit: int):
    small = planned[0]
    large = _times(small, unit)
    assert unit_of(large) == unit * gcd(unit_of(small))
    found = solve(small, 20, workers=1)
    larger = solve(large, 20, workers=1)
    assert (found.status, larger.status) == ("optimal", "optimal")
    assert faults(large, larger) == []
    assert larger.makespan_s == (found.makespan_s or 0) * unit


def _times(problem: Problem, factor: int) -> Problem:
    return Problem(
        tuple(
            Task(
                t.id, t.duration_s * factor, t.uses, t.one_of, t.earliest_s * factor, t.latest_s and t.latest_s * factor
            )
            for t in problem.tasks
        ),
        tuple(
            Lag(lag.first, lag.then, lag.min_s * factor, lag.max_s and lag.max_s * factor, lag.basis)
            for lag in problem.lags
        ),
        problem.capacities,
        tuple(LastOf(m.id, m.tasks, m.not_before_s and m.not_before_s * factor) for m in problem.lasts),
        tuple(Guard(g.id, g.first, g.last, g.against, g.longer_s * factor) for g in problem.guards),
        {r: tuple((a * factor, b * factor) for a, b in away) for r, away in problem.closed.items()},
    )
