"""CP-SAT at work around one plan, where no guard is left to decide: better plans come much sooner."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from time import perf_counter

from bayapp.planning.core.check import faults
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.solver.settled_order import as_settled
from bayapp.planning.solver.unit_model import UnitModel
from bayapp.planning.solver.watching import Teller, new_solver, watched

TURNS = 8
"""Into how many turns the time is shared out: a search that is begun anew from its best plan goes on sooner."""
LEAST_TURN_S = 0.3


def better_nearby(
    problem: Problem,
    plans: Sequence[Plan],
    seconds: float,
    workers: int,
    told: Callable[[Plan], None],
    stopped: Callable[[], bool],
) -> Plan:
    """Search around each of some plans for a turn, then around the best; return it.

    CP-SAT changes a part of its best plan at a time and proves nothing, so that the bound stays what it was.

    Args:
        plans: obey the problem, the soonest first; the ``bound_s`` of that one ends the search when it is reached.
        told: is called with each plan that is sooner than all before.
    """
    until = perf_counter() + seconds
    best = plans[0]

    def sooner(plan: Plan) -> None:
        nonlocal best
        if (plan.makespan_s or 0) < (best.makespan_s or 0):
            best = replace(plan, bound_s=best.bound_s)
            told(best)

    turn = 0
    while (left := until - perf_counter()) > 0 and best.makespan_s != best.bound_s and not stopped():
        around = plans[turn] if turn < len(plans) else best
        lasts = min(left, max(LEAST_TURN_S, seconds / TURNS))
        _Around(problem, around, best.bound_s or 0).search(lasts, workers, turn, sooner, stopped)
        turn += 1
    return best


class _Around:
    """The plans that shut out what one plan shuts out, as CP-SAT sees them."""

    def __init__(self, problem: Problem, plan: Plan, least_s: int) -> None:
        self.problem = problem
        settled, turned = as_settled(problem, plan)
        self.near = UnitModel(settled, plan.makespan_s or 0, least_s, turned)

    def search(
        self,
        seconds: float,
        workers: int,
        seed: int,
        found: Callable[[Plan], None],
        stopped: Callable[[], bool],
    ) -> None:
        """Pass on each plan that is found, if it obeys the whole problem."""

        def read(value: Teller) -> None:
            plan = self.near.read(value)
            if not faults(self.problem, plan):
                found(plan)

        solver = new_solver(seconds, workers)
        solver.parameters.random_seed = seed
        solver.parameters.use_lns_only = True
        solver.parameters.lns_initial_difficulty = 0.2
        solver.parameters.lns_initial_deterministic_limit = 0.02  # many small tries rather than a few of a second each
        solver.parameters.cp_model_probing_level = 0  # what is worked out beforehand is worked out again for every try
        solver.parameters.symmetry_level = 0
        solver.parameters.linearization_level = 0
        with watched(solver, stopped):
            solver.solve(self.near.model, Teller(read))
