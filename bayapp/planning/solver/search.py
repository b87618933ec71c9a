"""Searches with CP-SAT for the least late plan that ends soonest. The one module that runs a search for ``solve``."""

import logging
from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, isfinite
from time import perf_counter

from bayapp.planning.core.bounds import earliest_starts, horizon, least_left
from bayapp.planning.core.check import checked, faults
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.implied import with_implied
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.promises import (
    late_for,
    late_work,
    lateness_s,
    least_lateness_s,
    merit,
    no_later,
    only,
    with_deadlines,
    with_first,
)
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.heuristic.order_search import better_orders
from bayapp.planning.heuristic.promised_orders import less_late
from bayapp.planning.solver.conflict import conflict_of
from bayapp.planning.solver.cp_sat import Teller, complete_solver, neighbourhood_solver, portfolio_solver, watched
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.neighbourhoods import better_plans
from bayapp.planning.solver.ortools_alone import cp_model

LOG = logging.getLogger("bayapp")
ROUNDING = 1e-6
LEAST_S = 0.01
PORTFOLIO = 8
"""From so many workers on CP-SAT's own mix of searches runs instead: it closes hard problems, held to time alone."""

SHARE_PROOF, SHARE_ORDERS, SHARE_OURS, SHARE_THEIRS = 0.1, 0.15, 0.45, 0.2
"""Which share of the time is meant for a search of all plans, before and after, for other orders of the work, and for
the neighbourhoods of the best plan, ours and those of CP-SAT."""
SHARE_PROMISES = 0.25
"""Which share is taken beside, where the first plan is late for a promise, for one that is less late."""


def with_conflict(problem: Problem, plan: Plan, stopped: Callable[[], bool]) -> Plan:
    """Return an infeasible plan with what cannot all hold."""
    return replace(plan, clash=conflict_of(problem, horizon(problem), stopped))


class Search:
    """One search, from a first plan through better ones to a proof, as far as its work limit allows."""

    def __init__(self, problem: Problem, effort: Effort, on_better: Callable[[Plan], None]) -> None:
        self._whole = self._problem = problem
        self._effort, self._on_better = effort, on_better
        self._until = perf_counter() + effort.most_s

    def run(self, hint: Plan | None) -> Plan:
        """Return the best plan; without starts if there is none, or none was found."""
        if not self._problem.tasks:
            return Plan("optimal", 0, 0)
        first = self._soonest([p for p in (hint, list_schedule(self._problem)) if p is not None])
        if first.starts_s:
            self._on_better(first)
        if self._effort.stopped():
            return first
        if first.starts_s and self._problem.promises:
            first = self._least_late(first)
            self._problem = with_deadlines(self._whole, first)
        built = self._built(first.makespan_s)
        if self._effort.workers >= PORTFOLIO:
            return self._solved(built, first, portfolio_solver(self._left(), self._effort.workers))
        best = self._complete(built, first, SHARE_PROOF if first.starts_s else 1.0)
        if best.status == "feasible":
            best = self._improved(best, better_orders(self._whole, self._effort.seconds * SHARE_ORDERS))
            best = self._neighbourhoods(built, best)
        return best if best.status != "feasible" else self._complete(built, best, SHARE_PROOF)

    def _least_late(self, first: Plan) -> Plan:
        """Return a plan that is less late for the promises than the first, if one is found; it may end later."""
        problem, effort = self._problem, self._effort
        best = self._soonest([first, less_late(problem, first)[0]])
        best = self._soonest([best, self._late_work_first(best)])
        least = least_lateness_s(problem)
        if lateness_s(problem, best) > least and not effort.stopped():
            built = self._built(None)
            built.minimize_lateness()
            built.hint(best.starts_s, best.done_by)
            solver = complete_solver(effort.seconds * SHARE_PROMISES, self._left())
            with watched(solver, effort.stopped):
                status = solver.solve(built.model)
            if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                best = self._soonest([best, _plan_of(built, solver)])
        if merit(problem, best) < merit(problem, first):
            self._on_better(best)
        return best

    def _late_work_first(self, plan: Plan) -> Plan:
        """Return a plan in which what a plan is late for is done by itself, as soon as it can be; then the rest."""
        problem, late = self._problem, late_work(self._problem, plan)
        if not late_for(problem, plan) or len(late) == len(problem.tasks):
            return plan
        by_itself = Search(only(problem, late), self._effort.share(SHARE_PROMISES), lambda _: None).run(None)
        if not by_itself.starts_s:
            return plan
        whole = list_schedule(with_first(problem, by_itself))
        return replace(whole, done_by={**whole.done_by, **by_itself.done_by}) if whole.starts_s else plan

    def _soonest(self, plans: list[Plan]) -> Plan:
        """Return the best plan, by its lateness and end, of those that obey the problem; "unknown" if none does."""
        right = [plan for plan in plans if plan.starts_s and not faults(self._problem, plan)]
        found = min(right, key=lambda plan: merit(self._problem, plan), default=Plan("unknown"))
        return replace(found, status="feasible", bound_s=None) if found.starts_s else found

    def _built(self, by_s: int | None) -> PlanModel:
        """Return a model of all plans that end no later than ``by_s``; None: of all that are worth looking at."""
        known = with_implied(self._problem, by_s)
        built = PlanModel(known, horizon(self._problem) if by_s is None else by_s)
        built.keep_to(earliest_starts(known), least_left(known))
        return built

    def _complete(self, built: PlanModel, best: Plan, share: float) -> Plan:
        """Search all plans; this gives the proof, and finds plans that small changes do not."""
        return self._solved(built, best, complete_solver(self._effort.seconds * share, self._left()))

    def _neighbourhoods(self, built: PlanModel, best: Plan) -> Plan:
        """Search the neighbourhoods of the best plan; this proves nothing.

        First our own, which go far on long days, then those of CP-SAT, which do on short ones.
        """
        seconds, workers, tasks = self._effort.seconds, self._effort.workers, len(self._problem.tasks)
        best = self._improved(best, better_plans(built, best, seconds * SHARE_OURS, workers))
        return self._solved(built, best, neighbourhood_solver(seconds * SHARE_THEIRS, self._left(), workers, tasks))

    def _improved(self, best: Plan, plans: Iterator[Plan]) -> Plan:
        """Return the last of these plans that ends sooner than all before it; each is passed on."""
        for found in plans:
            sooner = (found.makespan_s or 0) < (best.makespan_s or 0) and no_later(self._whole, found, best)
            if sooner and checked(self._problem, found).starts_s:
                best = replace(found, bound_s=best.bound_s)
                self._on_better(best)
            if self._effort.stopped() or self._left() <= LEAST_S:
                break
        return best

    def _left(self) -> float:
        return max(LEAST_S, self._until - perf_counter())

    def _solved(self, built: PlanModel, best: Plan, solver: cp_model.CpSolver) -> Plan:
        if self._effort.stopped() or self._left() <= LEAST_S:
            return best
        built.model.minimize(built.makespan)
        built.hint(best.starts_s, best.done_by)

        def tell(value: Teller) -> None:
            found = checked(self._problem, self._read(built, value))
            if found.starts_s:
                self._on_better(found)

        with watched(solver, self._effort.stopped):
            status = solver.solve(built.model, Teller(tell))
        if status == cp_model.INFEASIBLE and not best.starts_s:
            return Plan("infeasible")
        if status == cp_model.INFEASIBLE:
            LOG.error("the search says that there is no plan, and there is one; its bounds are not believed")
            return replace(best, bound_s=None)
        bound = max(best.bound_s or 0, _bound(solver))
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return replace(best, bound_s=bound)
        found = checked(self._problem, self._read(built, solver))
        if not found.starts_s:
            return replace(best, bound_s=None)
        if status == cp_model.OPTIMAL:
            return replace(found, status="optimal", bound_s=found.makespan_s)
        return replace(found, bound_s=bound)

    @staticmethod
    def _read(built: PlanModel, value: cp_model.CpSolver | Teller) -> Plan:
        """Return a solution, with the bound that is proven so far."""
        bound = max(0, round(value.best_objective_bound))
        return Plan(
            "feasible", round(value.objective_value), bound, built.read_starts(value), built.read_done_by(value)
        )


def _plan_of(built: PlanModel, solver: cp_model.CpSolver) -> Plan:
    starts = built.read_starts(solver)
    makespan_s = max(starts[task.id] + task.duration_s for task in built.problem.tasks)
    return Plan("feasible", makespan_s, None, starts, built.read_done_by(solver))


def _bound(solver: cp_model.CpSolver) -> int:
    """Return what a search has proven; nothing at all may be said as minus infinity."""
    return max(0, ceil(solver.best_objective_bound - ROUNDING)) if isfinite(solver.best_objective_bound) else 0
