"""CP-SAT at work on one problem: the soonest end. The one module that runs a search for ``solve``. Knows no car."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from threading import Event, Thread
from time import perf_counter

from ortools.sat.python import cp_model

from bayapp.planning.bounds import horizon, least_makespan
from bayapp.planning.check import faults
from bayapp.planning.clash import clash_of
from bayapp.planning.dispatch import dispatch
from bayapp.planning.model import PlanModel
from bayapp.planning.plan import Plan
from bayapp.planning.problem import Problem

LOOK_S = 0.05


def search(
    problem: Problem,
    seconds: float,
    workers: int,
    hint: Plan | None,
    told: Callable[[Plan], None] | None,
    stopped: Callable[[], bool],
) -> Plan:
    """Do what ``solve`` promises."""
    began = perf_counter()
    first = dispatch(problem)
    if faults(problem, first):
        first = Plan("unknown")
    least = least_makespan(problem)
    if first.starts_s:
        first = replace(first, bound_s=least)
        if first.makespan_s == least:
            return replace(first, status="optimal")
        if told:
            told(first)
    latest = first.makespan_s if first.makespan_s is not None else horizon(problem)
    built = PlanModel(problem, latest)
    built.model.add(built.makespan >= least)
    built.model.minimize(built.makespan)
    better = hint if hint and hint.starts_s else first
    built.hint(better.starts_s, better.done_by)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = max(0.05, seconds - (perf_counter() - began))
    with watched(solver, stopped):
        status = solver.solve(built.model, _Teller(built, told) if told else None)
    if status == cp_model.INFEASIBLE and not first.starts_s:
        return Plan("infeasible", clash=clash_of(problem, latest, stopped))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return first
    return _read(built, solver, "optimal" if status == cp_model.OPTIMAL else "feasible")


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
