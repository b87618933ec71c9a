"""CP-SAT at work on one problem: the soonest end. The one module that runs a search for ``solve``."""

import logging
from collections.abc import Callable
from dataclasses import replace
from math import ceil, isfinite
from time import perf_counter

from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import horizon, least_makespan
from bayapp.planning.core.check import faults
from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.time_unit import in_units, unit_of
from bayapp.planning.heuristic.list_scheduling import Manner, dispatch
from bayapp.planning.solver.conflict import clash_of
from bayapp.planning.solver.nearby import better_nearby
from bayapp.planning.solver.stretches import least_by_stretches
from bayapp.planning.solver.unit_model import UnitModel
from bayapp.planning.solver.watching import Teller, new_solver, watched

LOG = logging.getLogger("bayapp")
ROUNDING = 1e-6
SHARE_TRIED, SHARE_AT_ONCE, SHARE_NEARBY, SHARE_WHOLE = 0.15, 0.25, 0.9, 0.7
"""Until which share of the time: other first plans; all plans for a start; around the best; all, if none is known."""
PROVING = ("quick_restart", "quick_restart_no_lp")
"""Which of CP-SAT's manners prove; its usual ones find better plans."""
AT_ONCE = 120
"""How many tasks CP-SAT may take on without anything being settled for it; it solves many such days in no time."""
BEGUN_FROM = 4
WORSE = 1.01
"""Once a way of using idle hands has ended so much later than the other, it is not tried again."""
FILLS_S = 600
MANNERS = (
    Manner(pressing_s=60),
    Manner(fills_s=FILLS_S, fills_share=0.75, pressing_s=300),
    Manner(pressing_s=60, in_turn=True),
    Manner(ahead=5, fills_s=FILLS_S, fills_share=0.5, pressing_s=60),
    Manner(ahead=1, pressing_s=60, in_turn=True),
    Manner(fills_s=FILLS_S, pressing_s=300),
    Manner(waits_out=True),
    Manner(hurry_s=0),
    Manner(hurry_s=10**6),
    *(
        Manner(
            fills_s=(0, FILLS_S)[n % 2],
            fills_share=(0.5, 0.75, 0.5, 1.0, 0.65)[n // 2 % 5],
            pressing_s=(60, 300, 0)[n % 3],
            hurry_s=(3600, 0)[n // 4 % 2],
            in_turn=n % 8 in (2, 4),
            ahead=(0, 5, 1, 8, 2, 5, 0, 4)[n % 8],
            noise=(0.4, 0.2, 0.1, 0.3, 0.1)[n % 5],
            seed=n,
        )
        for n in range(60)
    ),
)
"""Other ways of choosing what goes first; those with noise stumble on better orders where people share tools."""


def search(
    problem: Problem,
    seconds: float,
    workers: int,
    hint: Plan | None,
    told: Callable[[Plan], None] | None,
    stopped: Callable[[], bool],
    explain: bool,
) -> Plan:
    """Do what ``solve`` promises."""
    if not problem.tasks:
        return Plan("optimal", 0, 0)
    plan = _Search(problem, seconds, workers, told or (lambda _: None), stopped).run(hint)
    if plan.status == "infeasible" and explain:
        return replace(plan, clash=clash_of(problem, horizon(problem), stopped))
    return plan if plan.starts_s or plan.status == "infeasible" else Plan("unknown")


class _Search:
    """One search, from a first plan by way of better ones to a proof, as far as the time lasts."""

    def __init__(
        self,
        problem: Problem,
        seconds: float,
        workers: int,
        told: Callable[[Plan], None],
        stopped: Callable[[], bool],
    ) -> None:
        self.problem, self.seconds, self.workers = problem, seconds, workers
        self.told, self.stopped = told, stopped
        self.began = perf_counter()

    def run(self, hint: Plan | None) -> Plan:
        """Return the best plan; without starts where there is none, or none was found."""
        first = self._soonest([p for p in (hint, dispatch(self.problem)) if p is not None])
        if not first.starts_s:
            first = replace(first, bound_s=self._least(first))
            first = self._among_all(first, SHARE_WHOLE)
            return first if self._over(first) else self._among_all(first, 1.0, PROVING)
        self.told(replace(first, bound_s=least_makespan(with_implied(self.problem, first.makespan_s))))
        plans = self._tried(first)
        best = replace(plans[0], bound_s=self._least(plans[0]))
        if best.makespan_s == best.bound_s:
            return replace(best, status="optimal")
        if len(self.problem.tasks) <= AT_ONCE:
            best = self._among_all(best, SHARE_AT_ONCE)
        if not self._over(best):
            best = better_nearby(
                self.problem, [best, *plans[1:]], self._left(SHARE_NEARBY), self.workers, self.told, self.stopped
            )
            best = replace(best, status="optimal" if best.makespan_s == best.bound_s else "feasible")
        return best if self._over(best) else self._among_all(best, 1.0, PROVING)

    def _left(self, share: float) -> float:
        return max(0.05, self.seconds * share - (perf_counter() - self.began))

    def _over(self, plan: Plan) -> bool:
        return plan.status in ("optimal", "infeasible") or self.stopped()

    def _soonest(self, plans: list[Plan]) -> Plan:
        """Return the plan that ends soonest of those that obey the problem; status "unknown" where none does."""
        right = [plan for plan in plans if plan.starts_s and not faults(self.problem, plan)]
        return min(right, key=lambda plan: plan.makespan_s or 0, default=Plan("unknown"))

    def _least(self, plan: Plan) -> int:
        """Return an end that no plan can beat; the soonest is a whole number of the units that all times are."""
        known = with_implied(self.problem, plan.makespan_s)
        unit = unit_of(known)
        return max(-(-least_makespan(known) // unit), least_by_stretches(in_units(known, unit))) * unit

    def _tried(self, first: Plan) -> list[Plan]:
        """Try other manners of going forward in time; return the best plans, the soonest first, told of as found."""
        least = self._least(first)
        found = {first.makespan_s or 0: first}
        soonest: dict[bool, int] = {}
        for manner in MANNERS:
            if min(found) == least or perf_counter() > self.began + self.seconds * SHARE_TRIED or self.stopped():
                break
            fills = manner.fills_s > 0
            if soonest.get(fills, 0) > WORSE * min(found):
                continue
            other = dispatch(self.problem, manner=manner)
            if other.makespan_s is None or faults(self.problem, other):
                continue
            soonest[fills] = min(other.makespan_s, soonest.get(fills, other.makespan_s))
            if other.makespan_s < min(found):
                self.told(replace(other, bound_s=least))
            found.setdefault(other.makespan_s, other)
        return [found[end] for end in sorted(found)[:BEGUN_FROM]]

    def _among_all(self, first: Plan, share: float, manners: tuple[str, ...] = ()) -> Plan:
        """Return the best plan that CP-SAT finds from ``first`` on; that one, where none was found."""
        latest = horizon(self.problem) if first.makespan_s is None else first.makespan_s
        built = UnitModel(with_implied(self.problem, first.makespan_s), latest, first.bound_s or 0, first)
        solver = new_solver(self._left(share), self.workers)
        if self.workers >= len(manners) > 0:
            solver.parameters.subsolvers.extend(manners)

        with watched(solver, self.stopped):
            status = solver.solve(built.model, Teller(lambda value: self.told(built.read(value))))
        if status == cp_model.INFEASIBLE and not first.starts_s:
            return Plan("infeasible")
        if status == cp_model.INFEASIBLE:
            LOG.error("the search says that there is no plan, and there is one; its bounds are not believed")
            return replace(first, bound_s=None)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return replace(first, bound_s=max(first.bound_s or 0, _bound(solver) * built.unit))
        plan = built.read(solver)
        return replace(plan, status="optimal", bound_s=plan.makespan_s) if status == cp_model.OPTIMAL else plan


def _bound(solver: cp_model.CpSolver) -> int:
    """Return what a search has proven although it found nothing; nothing at all may be said as minus infinity."""
    return max(0, ceil(solver.best_objective_bound - ROUNDING)) if isfinite(solver.best_objective_bound) else 0
