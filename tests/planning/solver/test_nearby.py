"""Better plans around a plan: they obey the whole problem, are told as they come, and stop where none is sooner."""

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Guard, Lag, Problem, Task
from bayapp.planning.heuristic.list_scheduling import dispatch
from bayapp.planning.solver.nearby import better_nearby
from tests.planning.checker import faults


def rims(number: int) -> Problem:
    """Rims that are coated for 2 min and buffed 10 min later for 2 min; brushing keeps away from open coats."""
    tasks, lags, guards = [], [], []
    brushes = frozenset(f"brush {n}" for n in range(number))
    for n in range(number):
        tasks += [Task(f"brush {n}", 180), Task(f"coat {n}", 120), Task(f"buff {n}", 120)]
        lags += [Lag(f"brush {n}", f"coat {n}"), Lag(f"coat {n}", f"buff {n}", 600, 1200)]
        guards.append(Guard(f"dust {n}", f"coat {n}", f"buff {n}", brushes - {f"brush {n}"}))
    return Problem(tuple(tasks), tuple(lags), {"person": 1}, (), tuple(guards))


def poor(problem: Problem) -> Plan:
    """Return a plan that waits an hour before everything."""
    plan = dispatch(problem)
    late = {task: start + 3600 for task, start in plan.starts_s.items()}
    return Plan("feasible", (plan.makespan_s or 0) + 3600, 0, late)


def unheard(plan: Plan) -> None:
    """Nobody listens."""


def never_told(plan: Plan) -> None:
    raise AssertionError(f"no plan is sooner, and one was told: {plan}")


def test_a_poor_plan_is_made_better_and_each_better_one_is_told():
    problem = rims(4)
    told: list[Plan] = []
    found = better_nearby(problem, [poor(problem)], 1.0, 1, told.append, lambda: False)
    assert found.makespan_s == 4 * 180 + 120 + 600 + 4 * 120, "all brushed, one coat, its wait, then all buffed"
    assert told[-1] == found
    assert [faults(problem, plan) for plan in told] == [[]] * len(told)
    ends = [plan.makespan_s or 0 for plan in told]
    assert ends == sorted(set(ends), reverse=True)


def test_what_no_plan_can_beat_ends_it():
    problem = rims(3)
    best = dispatch(problem)
    bounded = Plan("feasible", best.makespan_s, best.makespan_s, best.starts_s)
    assert better_nearby(problem, [bounded], 1e6, 1, never_told, lambda: False) == bounded


def test_a_wish_to_stop_is_heard():
    problem = rims(3)
    plan = poor(problem)
    assert better_nearby(problem, [plan], 1e6, 1, never_told, lambda: True) == plan


def test_it_begins_at_each_plan_in_turn():
    problem = rims(3)
    each = {f"{work} {n}": 1020 * n + s for n in range(3) for work, s in (("brush", 0), ("coat", 180), ("buff", 900))}
    alone = Plan("feasible", 3 * 1020, 0, each)
    assert faults(problem, alone) == []
    # Where a rim is brushed once the one before is buffed nothing can be sooner; all brushed first, much can.
    assert better_nearby(problem, [alone], 0.7, 1, unheard, lambda: False) == alone
    both = better_nearby(problem, [alone, poor(problem)], 2.0, 1, unheard, lambda: False)
    assert both.makespan_s == 3 * 180 + 120 + 600 + 3 * 120
