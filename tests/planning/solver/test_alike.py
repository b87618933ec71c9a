"""Ladders that are the same but for their names may go in turn: no rule, hand or stretch is touched by it."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import event, given, settings
from hypothesis import strategies as st

from bayapp.planning.core.problem import Guard, Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.list_scheduling import Manner, dispatch
from bayapp.planning.solver.alike import alike, in_turn
from tests.planning.any_problem import days_of_alike_zones
from tests.planning.checker import faults


def panels(number: int) -> Problem:
    """Panels that are polished and coated; no polish runs while the coat of another panel is open."""
    tasks, lags, guards = [], [], []
    for n in range(number):
        tasks += [
            Task(f"polish {n}", 600, {"person": 1, "polisher": 1}),
            Task(f"coat {n}", 180),
            Task(f"level {n}", 120),
        ]
        lags += [Lag(f"polish {n}", f"coat {n}"), Lag(f"coat {n}", f"level {n}", 60, 300)]
        others = frozenset(f"polish {other}" for other in range(number)) - {f"polish {n}"}
        guards.append(Guard(f"dust {n}", f"coat {n}", f"level {n}", others))
    return Problem(tuple(tasks), tuple(lags), {"person": 2, "polisher": 1}, (), tuple(guards))


def groups(problem: Problem) -> list[list[str]]:
    return [[chain[0] for chain in group] for group in alike(problem)]


def test_ladders_with_the_same_steps_waits_and_guards_are_alike():
    assert alike(panels(3)) == [tuple((f"polish {n}", f"coat {n}", f"level {n}") for n in range(3))]


def test_one_that_takes_longer_waits_longer_or_may_begin_later_is_not():
    problem = panels(3)
    longer = [replace(t, duration_s=600) if t.id == "coat 1" else t for t in problem.tasks]
    assert groups(replace(problem, tasks=tuple(longer))) == [["polish 0", "polish 2"]]
    later = [replace(t, earliest_s=60) if t.id == "level 0" else t for t in problem.tasks]
    assert groups(replace(problem, tasks=tuple(later))) == [["polish 1", "polish 2"]]
    waits = [replace(lag, max_s=200) if lag.then == "level 2" else lag for lag in problem.lags]
    assert groups(replace(problem, lags=tuple(waits))) == [["polish 0", "polish 1"]]


def test_one_that_another_step_waits_for_is_not():
    problem = panels(3)
    problem = replace(problem, tasks=(*problem.tasks, Task("clean", 60)), lags=(*problem.lags, Lag("level 0", "clean")))
    assert groups(problem) == [["polish 1", "polish 2"]]


def test_those_that_are_all_waited_for_together_are():
    problem = panels(2)
    last = LastOf("coated", ("coat 0", "coat 1"))
    lags = (*problem.lags, *(Lag("coated", f"level {n}", 300) for n in range(2)))
    assert groups(replace(problem, lasts=(last,), lags=lags)) == [["polish 0", "polish 1"]]
    one = replace(problem, lasts=(LastOf("coated", ("coat 0",)),), lags=lags)
    assert groups(one) == []


def test_those_that_do_not_shut_out_the_same_are_not():
    problem = panels(3)
    guards = (replace(problem.guards[0], against=frozenset({"polish 1"})), *problem.guards[1:])
    assert alike(replace(problem, guards=guards)) == []
    washed = replace(problem, tasks=(*problem.tasks, Task("wash", 60)))
    water = Guard("water", "coat 0", "level 0", frozenset({"wash"}))
    assert groups(replace(washed, guards=(*problem.guards, water))) == [["polish 1", "polish 2"]]


def test_the_first_is_first_with_every_step_and_whoever_does_it_goes_along():
    problem = Problem(
        tuple(Task(f"{work} {n}", 60, {}, ("ash", "bo")) for n in "ab" for work in ("wipe", "coat")),
        tuple(Lag(f"wipe {n}", f"coat {n}") for n in "ab"),
        {"ash": 1, "bo": 1},
    )
    plan = replace(
        dispatch(problem),
        starts_s={"wipe a": 60, "coat a": 120, "wipe b": 0, "coat b": 240},
        done_by={"wipe a": "ash", "coat a": "bo", "wipe b": "bo", "coat b": "ash"},
        makespan_s=300,
    )
    turned = in_turn(plan, alike(problem))
    assert turned.starts_s == {"wipe a": 0, "coat a": 120, "wipe b": 60, "coat b": 240}
    assert turned.done_by == {"wipe a": "bo", "coat a": "bo", "wipe b": "ash", "coat b": "ash"}


@given(days_of_alike_zones(), st.integers(1, 99))
@settings(max_examples=80, deadline=None)
def test_a_plan_in_turn_obeys_whatever_the_plan_obeyed_and_ends_when_it_ended(problem: Problem, seed: int):
    plan = dispatch(problem, manner=Manner(noise=0.9, seed=seed))
    found = alike(problem)
    event(f"alike {max((len(group) for group in found), default=1)}, planned {bool(plan.starts_s)}")
    if not plan.starts_s:
        return
    turned = in_turn(plan, found)
    assert faults(problem, turned) == []
    assert turned.makespan_s == plan.makespan_s
    for group in found:
        for first, second in pairwise(group):
            assert all(turned.starts_s[a] <= turned.starts_s[b] for a, b in zip(first, second, strict=True))
