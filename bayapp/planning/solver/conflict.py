"""Which waits cannot all hold: a minimal infeasible subset, found by leaving out one after another."""

from collections.abc import Callable
from time import perf_counter

from bayapp.planning.core.problem import Lag, Problem, Task
from bayapp.planning.solver.cp_sat import complete_solver
from bayapp.planning.solver.model import PlanModel, assumed
from bayapp.planning.solver.ortools_alone import cp_model

EACH_S, ALL_S = 1.0, 4.0


def conflict_of(problem: Problem, horizon_s: int, stopped: Callable[[], bool]) -> tuple[Task | Lag, ...]:
    """Return latest starts and waits of an infeasible problem such that leaving out any one of them would help.

    Where a search takes too long to be sure, a wait stays in: the set is then right, but may not be the smallest.
    """
    built = PlanModel(problem, horizon_s, soft=True)
    needed = _core(built, list(built.literals))
    if needed is None:
        return tuple(built.literals.values())
    until = perf_counter() + ALL_S
    for literal in list(needed):
        if stopped() or perf_counter() > until:
            break
        smaller = _core(built, [i for i in needed if i != literal]) if literal in needed else None
        if smaller is not None:
            needed = smaller
    return tuple(built.literals[i] for i in sorted(needed))


def _core(built: PlanModel, literals: list[int]) -> list[int] | None:
    """Return some of these literals that cannot all hold; None if they can, or if that is not known."""
    assumed(built.model, literals)
    solver = complete_solver(EACH_S, ALL_S)
    if solver.solve(built.model) != cp_model.INFEASIBLE:
        return None
    kept = set(solver.sufficient_assumptions_for_infeasibility())
    return [i for i in literals if i in kept]
