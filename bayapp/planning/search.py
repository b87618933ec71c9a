"""CP-SAT at work on one problem: the soonest end. The one module that runs a search for ``solve``. Knows no car."""

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from math import ceil, isfinite
from threading import Event, Thread
from time import perf_counter

from ortools.sat.python import cp_model

from bayapp.planning.bounds import earliest_starts, horizon, least_left, least_makespan
from bayapp.planning.check import faults
from bayapp.planning.clash import clash_of
from bayapp.planning.dispatch import Manner, dispatch
from bayapp.planning.implied import with_implied
from bayapp.planning.model import PlanModel
from bayapp.planning.plan import Plan
from bayapp.planning.problem import Problem
from bayapp.planning.stretches import least_by_stretches

LOG = logging.getLogger("bayapp")
LOOK_S = 0.05
ROUNDING = 1e-6
PHASES: tuple[tuple[float, tuple[str, ...]], ...] = ((0.7, ()), (1.0, ("quick_restart", "quick_restart_no_lp")))
"""Until which share of the time which of CP-SAT's manners search: its usual ones find better plans, those two prove."""
SHARE_TRIED = 0.4
FILLS_S = 600
MANNERS = (
    Manner(pressing_s=60),
    Manner(fills_s=FILLS_S, fills_share=0.75, pressing_s=300),
    Manner(pressing_s=60, in_turn=True),
    Manner(fills_s=FILLS_S, pressing_s=300),
    Manner(waits_out=True),
    Manner(hurry_s=0),
    Manner(hurry_s=10**6),
    Manner(pressing_s=300),
    *(
        Manner(
            fills_s=(0, FILLS_S)[n % 2],
            fills_share=(1.0, 0.9, 0.75, 0.6)[n // 2 % 4],
            pressing_s=(60, 300, 0)[n % 3],
            hurry_s=(3600, 0)[n // 2 % 2],
            in_turn=n % 4 < 2,
            noise=(0.15, 0.3, 0.05)[n % 3],
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
    began = perf_counter()
    first = _soonest(problem, [p for p in (hint, dispatch(problem)) if p is not None])
    least = least_makespan(with_implied(problem, first.makespan_s))
    if first.starts_s:
        first = replace(first, bound_s=least)
        if told:
            told(first)
        first = _better(problem, first, least, began + seconds * SHARE_TRIED, told, stopped)
    known = with_implied(problem, first.makespan_s)
    least = max(least_makespan(known), least_by_stretches(known))
    if first.makespan_s == least:
        return replace(first, bound_s=least, status="optimal")
    latest = first.makespan_s if first.makespan_s is not None else horizon(problem)
    best = replace(first, bound_s=least)
    for share, manners in PHASES:
        until = max(0.05, seconds * share - (perf_counter() - began))
        best = _searched(known, latest, best, until, workers, manners, told, stopped)
        if best.status in ("optimal", "infeasible") or stopped():
            break
    if best.status == "infeasible" and explain:
        return replace(best, clash=clash_of(problem, latest, stopped))
    return best if best.starts_s else Plan("unknown")


def _searched(
    problem: Problem,
    latest: int,
    first: Plan,
    seconds: float,
    workers: int,
    manners: tuple[str, ...],
    told: Callable[[Plan], None] | None,
    stopped: Callable[[], bool],
) -> Plan:
    """Return the best plan of one search that goes on from ``first``; that one, where none was found."""
    built = PlanModel(problem, latest if first.makespan_s is None else first.makespan_s)
    built.model.add(built.makespan >= (first.bound_s or 0))
    built.keep_to(earliest_starts(problem), least_left(problem))
    built.model.minimize(built.makespan)
    built.hint(first.starts_s, first.done_by)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    if workers >= len(manners) > 0:
        solver.parameters.subsolvers.extend(manners)
    with watched(solver, stopped):
        status = solver.solve(built.model, _Teller(built, told) if told else None)
    if status == cp_model.INFEASIBLE and not first.starts_s:
        return Plan("infeasible")
    if status == cp_model.INFEASIBLE:
        LOG.error("the search says that there is no plan, and there is one; its bounds are not believed")
        return replace(first, bound_s=None)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return replace(first, bound_s=max(first.bound_s or 0, _bound(solver)))
    return _read(built, solver, "optimal" if status == cp_model.OPTIMAL else "feasible")


def _bound(solver: cp_model.CpSolver) -> int:
    """Return what a search has proven although it found nothing; nothing at all may be said as minus infinity."""
    return max(0, ceil(solver.best_objective_bound - ROUNDING)) if isfinite(solver.best_objective_bound) else 0


def _soonest(problem: Problem, plans: list[Plan]) -> Plan:
    """Return the plan that ends soonest of those that obey the problem; status "unknown" where none does."""
    right = [plan for plan in plans if plan.starts_s and not faults(problem, plan)]
    return min(right, key=lambda plan: plan.makespan_s or 0, default=Plan("unknown"))


def _better(
    problem: Problem,
    first: Plan,
    least: int,
    until: float,
    told: Callable[[Plan], None] | None,
    stopped: Callable[[], bool],
) -> Plan:
    """Try other manners of going forward in time; return the best plan, told of as it is found."""
    best = first
    for manner in MANNERS:
        if not best.starts_s or best.makespan_s == least or perf_counter() > until or stopped():
            break
        other = dispatch(problem, manner=manner)
        if other.makespan_s is not None and other.makespan_s < (best.makespan_s or 0) and not faults(problem, other):
            best = replace(other, bound_s=least)
            if told:
                told(best)
    return best


def _read(built: PlanModel, solver: cp_model.CpSolver, status: str) -> Plan:
    makespan = round(solver.objective_value)
    bound = makespan if status == "optimal" else max(0, round(solver.best_objective_bound))
    return Plan(
        "optimal" if status == "optimal" else "feasible",
        makespan,
        bound,
        built.read_starts(solver),
        built.read_done_by(solver),
    )


class _Teller(cp_model.CpSolverSolutionCallback):
    """Passes on each better plan."""

    def __init__(self, built: PlanModel, told: Callable[[Plan], None]) -> None:
        super().__init__()
        self._built, self._told = built, told

    def on_solution_callback(self) -> None:
        """Read the solution that was just found."""
        bound = max(0, round(self.best_objective_bound))
        starts, done_by = self._built.read_starts(self), self._built.read_done_by(self)
        self._told(Plan("feasible", round(self.objective_value), bound, starts, done_by))


@contextmanager
def watched(solver: cp_model.CpSolver, stopped: Callable[[], bool]) -> Iterator[None]:
    """Ask again and again whether the search is to stop, and stop it then."""
    over = Event()

    def watch() -> None:
        while not over.wait(LOOK_S):
            if stopped():
                solver.stop_search()
                return

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()
