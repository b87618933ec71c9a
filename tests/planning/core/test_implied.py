"""What forbidden intervals imply: never more than every plan obeys."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.implied import families, with_implied
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.solver.model import PlanModel
from tests.planning.support.any_problem import any_order
from tests.planning.support.checker import faults
from tests.planning.support.least_end import least_end


def interval(name: str, first: str | None, last: str | None, *against: str, longer_s: int = 0) -> ForbiddenInterval:
    return ForbiddenInterval(name, first, last, frozenset(against), longer_s)


def waits(problem: Problem) -> set[tuple[str, str]]:
    return {(lag.first, lag.then) for lag in problem.lags}


PANES = tuple(Task(f"{work} {pane}", 60) for pane in "ab" for work in ("polish", "coat", "buff"))
CHAINS = tuple(Lag(f"{a} {pane}", f"{b} {pane}") for pane in "ab" for a, b in (("polish", "coat"), ("coat", "buff")))
BUFFED_TOGETHER = LastOf("all coated", ("coat a", "coat b"))
INTERVALS = (interval("a", "coat a", "buff a", "polish b"), interval("b", "coat b", "buff b", "polish a"))


def test_where_all_panes_are_buffed_together_every_pane_is_polished_before_the_first_is_coated():
    lags = (*CHAINS, Lag("all coated", "buff a", 900), Lag("all coated", "buff b", 900))
    known = with_implied(Problem(PANES, lags, lasts=(BUFFED_TOGETHER,), forbidden=INTERVALS))
    (turn,) = [last for last in known.lasts if last.id.startswith("turn")]
    assert turn.tasks == ("polish a", "polish b")
    assert {("turn 1", "coat a"), ("turn 1", "coat b")} <= waits(known)
    assert least_end(known) == 2 * 60 + 2 * 60 + 900 + 2 * 60


def test_where_panes_are_buffed_one_by_one_nothing_is_implied():
    alone = Problem(PANES, CHAINS, forbidden=INTERVALS)
    assert waits(with_implied(alone)) == waits(alone)


def test_what_comes_after_a_forbidden_beginning_comes_after_its_end():
    tasks = (Task("coat", 60), Task("buff", 60), Task("vacuum", 60))
    problem = Problem(
        tasks, (Lag("coat", "buff", 300), Lag("coat", "vacuum")), forbidden=(interval("g", "coat", "buff", "vacuum"),)
    )
    assert ("buff", "vacuum") in waits(with_implied(problem))


def test_what_an_interval_that_has_begun_is_against_comes_after_it():
    tasks = (Task("buff", 60, earliest_s=300), Task("wash", 120), Task("rinse", 0))
    running = with_implied(Problem(tasks, forbidden=(interval("g", None, "buff", "wash", "rinse", longer_s=30),)))
    assert waits(running) == {("buff", "wash")}, "what takes no time may be done inside an interval"
    assert least_end(running) == 300 + 60 + 30 + 120
    over = with_implied(Problem(tasks, forbidden=(interval("g", None, None, "wash", longer_s=43_200),)))
    assert {t.id: t.earliest_s for t in over.tasks} == {"buff": 300, "wash": 43_200, "rinse": 0}


@pytest.mark.parametrize(("latest", "is_before"), [(43_379, True), (43_380, False)])
def test_what_would_end_too_late_after_an_interval_comes_before_it(latest: int, is_before: bool):
    tasks = (Task("wash", 120), Task("coat", 60))
    problem = Problem(tasks, forbidden=(interval("dry", "coat", "coat", "wash", longer_s=43_200),))
    assert (("turn 1", "coat") in waits(with_implied(problem, latest))) is is_before


@pytest.mark.parametrize(("latest", "first"), [(43_679, {"wash a", "wash b"}), (43_680, {"wash a"})])
def test_what_must_come_before_an_interval_may_leave_no_time_for_another_after_it(latest: int, first: set[str]):
    # Washed after the coat, which dries until 60 + 43,200 s, "a" and its polish would end at 44,560 s. Washed before
    # it, "a" takes 300 s of the one person, so that the coat dries until 43,560 s, and "b" ends at 43,680 s.
    tasks = (Task("wash a", 300), Task("polish a", 1000), Task("wash b", 120), Task("coat", 60))
    dry = interval("dry", "coat", "coat", "wash a", "wash b", longer_s=43_200)
    known = with_implied(Problem(tasks, (Lag("wash a", "polish a"),), forbidden=(dry,)), latest)
    assert [set(last.tasks) for last in known.lasts] == [first]


def test_forbidden_against_dust_and_against_water_are_two_families():
    dust, more, water = (
        interval("a", None, None, "polish"),
        interval("b", None, None, "polish", "cut"),
        interval("c", None, None, "wash"),
    )
    assert [[g.id for g in family] for family in families((dust, water, more))] == [["c"], ["a", "b"]]


def test_a_moment_that_lies_before_the_plan_is_no_bound():
    problem = Problem((Task("buff", 60),), (Lag("coated", "buff", 100),), lasts=(LastOf("coated", (), -400),))
    assert earliest_starts(problem) == {"buff": 0, "coated": -400}


@st.composite
def days_with_forbidden_intervals(draw: st.DrawFn) -> Problem:
    """Zones with a wash, a polish, a coat and a buff each, some buffed together, for one to three people."""
    zones = range(draw(st.integers(2, 4)))
    tasks, lags, forbidden = [], [], []
    length = st.integers(1, 9).map(lambda n: 60 * n)
    for zone in zones:
        names = [f"{work} {zone}" for work in ("wash", "polish", "coat", "buff")]
        tasks += [
            Task(name, draw(length), {"person": 1, **({"polisher": 1} if "polish" in name else {})}) for name in names
        ]
        lags += [Lag(names[0], names[1]), Lag(names[1], names[2]), Lag(names[2], names[3], draw(st.integers(0, 600)))]
        dusty = frozenset(f"polish {other}" for other in zones if other != zone)
        wet = frozenset(f"wash {other}" for other in zones if other != zone)
        forbidden += [
            ForbiddenInterval(f"dust {zone}", names[2], names[3], dusty),
            ForbiddenInterval(f"dry {zone}", names[2], names[3], wet, 7200),
        ]
    together = [z for z in zones if draw(st.booleans())]
    lasts = (LastOf("coated", tuple(f"coat {z}" for z in together)),) if together else ()
    lags += [Lag("coated", f"buff {z}", 900) for z in together]
    forbidden += [ForbiddenInterval("now", None, None, frozenset({"wash 0"}), draw(st.integers(0, 900)))]
    people = draw(st.integers(1, 3))
    return Problem(tuple(tasks), tuple(lags), {"person": people, "polisher": 1}, lasts, tuple(forbidden))


@given(days_with_forbidden_intervals(), st.integers(0, 5))
@settings(max_examples=60, deadline=None)
def test_no_plan_that_obeys_the_problem_is_cut_off(problem: Problem, seed: int):
    plan = list_schedule(problem, prefer=any_order(problem, seed))
    assert faults(problem, plan) == []
    assert plan.makespan_s is not None
    known = with_implied(problem, plan.makespan_s)
    starts, left = earliest_starts(known), least_left(known)
    assert all(starts[task] <= start for task, start in plan.starts_s.items())
    assert all(left[task] <= plan.makespan_s - start for task, start in plan.starts_s.items())
    built = PlanModel(known, plan.makespan_s)
    built.keep_to(starts, left)
    for task, start in plan.starts_s.items():
        built.model.add(built.starts[task] == start)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(built.model) == cp_model.OPTIMAL


@given(days_with_forbidden_intervals())
@settings(max_examples=25, deadline=None)
def test_the_bound_is_never_above_the_optimum(problem: Problem):
    plan = list_schedule(problem)
    built = PlanModel(problem, plan.makespan_s or 0)
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 5
    status = solver.solve(built.model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    assert least_end(with_implied(problem, plan.makespan_s)) <= round(solver.objective_value)
    assert least_end(with_implied(replace(problem, forbidden=()))) <= round(solver.objective_value)
