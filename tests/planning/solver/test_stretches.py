"""An end proven from stretches of open coats: worked examples, and no plan of any small day ends sooner."""

from itertools import pairwise

from hypothesis import event, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import horizon, least_makespan
from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Guard, Lag, LastOf, Problem, Task
from bayapp.planning.heuristic.list_scheduling import dispatch
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.stretches import least_by_stretches
from tests.planning.any_problem import planned_problems
from tests.planning.checker import faults

MINUTE = 60


def panels(number: int, people: int, window: int | None = None, levelled: int | None = None) -> Problem:
    """Panels polished in 10 min, wiped in 2, coated in 3, and coated again for 3 an hour later; nothing else.

    Where they are ``levelled``, that takes 2 min, begins so soon after the coat has begun, and the hour follows it.
    """
    tasks, lags, guards = [], [], []
    polishes = [f"polish {n}" for n in range(number)]
    for n in range(number):
        names = [f"{work} {n}" for work in ("polish", "wipe", "coat", "again")]
        tasks.append(Task(names[0], 10 * MINUTE, {"person": 1, "polisher": 1}))
        tasks += [Task(name, m * MINUTE) for name, m in zip(names[1:], (2, 3, 3), strict=True)]
        lags += [Lag(names[0], names[1]), Lag(names[1], names[2], 0, window)]
        if levelled is None:
            lags.append(Lag(names[2], names[3], 60 * MINUTE))
        else:
            tasks.append(Task(f"level {n}", 2 * MINUTE))
            lags += [Lag(names[2], f"level {n}"), Lag(names[2], f"level {n}", 0, levelled, "start-start")]
            lags.append(Lag(f"level {n}", names[3], 60 * MINUTE))
        guards.append(Guard(f"dust {n}", names[2], names[3], frozenset(polishes) - {names[0]}))
    return Problem(tuple(tasks), tuple(lags), {"person": people, "polisher": 1}, (), tuple(guards))


def soonest(problem: Problem, seconds: float = 5) -> tuple[Plan, bool]:
    """Return the best plan that a search finds which is told nothing of bounds, and whether none is sooner."""
    built = PlanModel(problem, horizon(problem))
    built.model.minimize(built.makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(built.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Plan("unknown"), False
    plan = Plan("feasible", round(solver.objective_value), None, built.read_starts(solver), built.read_done_by(solver))
    return plan, status == cp_model.OPTIMAL


def test_all_polishing_then_the_wait_then_what_comes_after_it():
    # 4 polishes of 10 min before the only stretch, then 63 min to the first second coat, then 4 of them by two people.
    assert least_by_stretches(panels(4, 2)) == (4 * 10 + 63 + 4 * 3 // 2) * MINUTE


def test_one_stretch_each_would_wait_twice():
    # For one person two stretches would last 2 * 63 min; all in one is sooner, and takes 10 polishes, 63 min, 10 coats.
    assert least_by_stretches(panels(10, 1)) == (10 * 10 + 63 + 10 * 3) * MINUTE


def test_what_can_only_be_wiped_shortly_before_leaves_a_person_idle_while_the_other_polishes():
    # 30 polishes take 300 min. Wiped at will all 60 min of wipes are done beside them; then come 30 coats by two in
    # 45 min, and 18 min more must pass, or 45 min for the second coats: 300 + 63 + 45. Wiped at most 5 min before the
    # coat, those of 2 + 5 min are done beside; the other 53 min and all first coats come after, by two in 143 / 2 min,
    # and the second coat of the last of them ends 63 min later.
    assert least_by_stretches(panels(30, 2)) == (300 + 63 + 45) * MINUTE
    assert least_by_stretches(panels(30, 2, 5 * MINUTE)) == 300 * MINUTE + 143 * MINUTE // 2 + 63 * MINUTE


def test_what_is_polished_last_can_only_be_wiped_after_all_polishing():
    # 8 polishes take 80 min; then 8 coats and the last wipe, 26 min of work for two, and the last coat's 63 min.
    assert least_by_stretches(panels(8, 2, 20 * MINUTE)) == (80 + 26 // 2 + 63) * MINUTE


def test_what_was_wiped_early_must_be_coated_early_and_levelled_soon():
    # Beside the last 32 min of polishing 16 panels could be wiped. 30 min on all but the last of them must have been
    # begun, and levelled but for the last 3: with what is under way then, 66 min of two people, 3 * 14 + 2 * 12 = 66.
    # So it is 15: the other 15 wipes, 30 coats and 30 times levelling take two people 90 min, and 63 min follow.
    assert least_by_stretches(panels(30, 2, 30 * MINUTE, levelled=4 * MINUTE)) == (300 + 90 + 63) * MINUTE
    assert least_by_stretches(panels(30, 2, 30 * MINUTE, levelled=60 * MINUTE)) == (300 + 89 + 63) * MINUTE


def test_without_a_tool_or_without_coats_that_keep_it_out_nothing_is_claimed():
    bare = panels(3, 2)
    assert least_by_stretches(Problem(bare.tasks, bare.lags, bare.capacities)) == 0
    by_hand = tuple(Task(t.id, t.duration_s) for t in bare.tasks)
    assert least_by_stretches(Problem(by_hand, bare.lags, bare.capacities, (), bare.guards)) == 0


@st.composite
def small_days(draw: st.DrawFn) -> Problem:
    """Up to five zones with windows everywhere; with and without polish, levelling, buffing together, cleaning."""
    tasks, lags, guards = [], [], []
    minutes = st.integers(1, 6).map(lambda n: n * MINUTE)
    zones = range(draw(st.integers(1, 5)))
    polished = [z for z in zones if draw(st.integers(0, 3))]
    together = [z for z in zones if not draw(st.integers(0, 2))]
    for z in zones:
        before = [f"polish {z}"] if z in polished else []
        level = [f"level {z}"] if draw(st.booleans()) else []
        clean = [f"clean {z}"] if draw(st.booleans()) else []
        names = [*before, f"wipe {z}", f"coat {z}", *level, f"buff {z}", *clean]
        for name in names:
            tasks.append(Task(name, draw(minutes), {"person": 1, **({"polisher": 1} if name in before else {})}))
        lags += [Lag(a, b) for a, b in pairwise(names)]
        window = draw(st.one_of(st.none(), st.integers(0, 9).map(lambda n: n * MINUTE)))
        lags.append(Lag(f"wipe {z}", f"coat {z}", draw(st.sampled_from([0, 0, 60])) if window else 0, window))
        lags.append(Lag((level or [f"coat {z}"])[0], f"buff {z}", draw(st.sampled_from([0, 0, 300, 900, 1800]))))
        if level:
            lags.append(Lag(f"coat {z}", level[0], 0, draw(st.sampled_from([360, 480, 600])), "start-start"))
        dusty = frozenset(f"polish {other}" for other in polished if other != z)
        guards.append(Guard(f"dust {z}", f"coat {z}", f"buff {z}", dusty))
    lasts = (LastOf("coated", tuple(f"coat {z}" for z in together)),) if together else ()
    lags += [Lag("coated", f"buff {z}", draw(st.sampled_from([0, 300]))) for z in together]
    people = draw(st.integers(1, 3))
    return Problem(tuple(tasks), tuple(lags), {"person": people, "polisher": 1}, lasts, tuple(guards))


@given(small_days())
@settings(max_examples=60, deadline=None)
def test_no_plan_of_a_small_day_ends_sooner(problem: Problem):
    plan, proven = soonest(problem)
    assert plan.makespan_s is not None, "the whole day can be done zone after zone"
    assert faults(problem, plan) == []
    bound = least_by_stretches(problem)
    event(f"proven {proven}, says more than the plain bound {bound > least_makespan(problem)}")
    assert bound <= plan.makespan_s
    assert least_by_stretches(with_implied(problem, plan.makespan_s)) <= plan.makespan_s


@given(planned_problems(shortest=1))
@settings(max_examples=60, deadline=None)
def test_no_plan_of_any_problem_ends_sooner(planned: tuple[Problem, Plan]):
    problem, plan = planned
    assert plan.makespan_s is not None
    assert least_by_stretches(problem) <= plan.makespan_s
    assert least_by_stretches(with_implied(problem, plan.makespan_s)) <= plan.makespan_s
    first = dispatch(problem)
    assert first.makespan_s is None or least_by_stretches(problem) <= first.makespan_s
