"""For a plan that is likely to miss a latest moment, another that is less likely to, and what that costs."""

from collections.abc import Mapping
from dataclasses import replace

from bayapp.planning.core.check import checked
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.shrunken_windows import with_shrunken_windows
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.robust.risk import simulate
from bayapp.planning.solver.solve import solve

BEARABLE = 0.02
SHARES = (0.15, 0.3, 0.5)


def more_robust(problem: Problem, plan: Plan, spread: Mapping[str, float], effort: Effort) -> tuple[Plan, int]:
    """Return a plan whose chance of a lapse is acceptable, or the lowest found, and what it costs in seconds.

    Others are found by planning as if a share of every window were missing from its end.
    """
    best, least = plan, simulate(problem, plan, spread).lapse_chance
    for share in SHARES:
        if least <= BEARABLE or effort.stopped():
            break
        other = _within(problem, with_shrunken_windows(problem, share), effort.share(1 / len(SHARES)))
        if other is None:
            continue
        chance = simulate(problem, other, spread).lapse_chance
        if chance < least:
            best, least = replace(other, bound_s=plan.bound_s), chance
    cost = max(0, (best.makespan_s or 0) - (plan.makespan_s or 0))
    status = plan.status if cost == 0 else "feasible"
    return replace(best, status=status), cost


def _within(problem: Problem, narrower: Problem, effort: Effort) -> Plan | None:
    """Return a plan of the narrower problem, which also holds for the problem itself."""
    quick = list_schedule(narrower)
    found = quick if quick.starts_s else solve(narrower, effort, explain=False)
    return found if checked(problem, found).starts_s else None
