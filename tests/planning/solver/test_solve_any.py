"""Whatever the problem: an answer obeys it, and ends no later than a plan that was found by trying."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, Problem
from bayapp.planning.solver.solve import solve
from tests.planning.support.any_problem import planned_problems
from tests.planning.support.checker import faults


def with_latest(problem: Problem, plan: Plan, slack: list[int | None]) -> Problem:
    """The problem with a latest moment, that the plan keeps by so much, for each of its waits between two tasks."""

    def limited(lag: Lag, more: int | None) -> Lag:
        if lag.first not in problem.task_of or more is None:
            return lag
        length = problem.task_of[lag.first].duration_s if lag.basis == "end-start" else 0
        return replace(lag, max_s=plan.starts_s[lag.then] - plan.starts_s[lag.first] - length + more)

    return replace(
        problem,
        lags=tuple(limited(lag, more) for lag, more in zip(problem.lags, slack[: len(problem.lags)], strict=True)),
    )


@given(planned_problems(shortest=1), st.lists(st.none() | st.integers(0, 5), min_size=7, max_size=7))
@settings(max_examples=60, deadline=None)
def test_an_answer_obeys_its_problem_and_is_no_later_than_a_plan_found_by_trying(planned, slack):
    problem = with_latest(planned[0], planned[1], slack)
    assert faults(problem, planned[1]) == []
    found = solve(problem, Effort(20, workers=1))
    assert faults(problem, found) == []
    assert found.status == "optimal"
    assert found.makespan_s <= planned[1].makespan_s
