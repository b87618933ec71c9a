"""How CP-SAT is run: for so much work, so that the same problem has the same answer, and heard while it searches."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import inf
from threading import Event, Thread

from bayapp.planning.solver.ortools_alone import cp_model

LOOK_S = 0.05
COMPLETE_A_SECOND = 0.1
"""How much of CP-SAT's deterministic work one second is taken for, so that a search ends by its work and not by the
clock; a quiet machine of two cores does more."""
NEIGHBOURHOODS_A_SECOND = 24
"""The same for small changes, to be divided by the number of tasks: each try begins by going through the whole problem,
and that is not counted as work."""
WORK_OF_AN_ATTEMPT = 0.002
MOST_S_OF_AN_ATTEMPT = 10.0
"""How much work one try of a small part may take, and how many seconds where a machine is slow."""
TOO_LARGE = (
    "scheduling_intervals_lns",
    "scheduling_precedences_lns",
    "scheduling_resource_windows_lns",
    "scheduling_time_window_lns",
)
"""Neighbourhoods of CP-SAT that leave all starts free and keep only orders: each try takes twice as long as others."""


def complete_solver(seconds: float, most_s: float) -> cp_model.CpSolver:
    """Return a solver that searches all plans.

    It has one thread: several that share what they find cannot be held to the same work without losing most of it.

    Args:
        seconds: how long it is meant to search; it is limited to the work that this many seconds stand for.
        most_s: how long it may search at most, even on a slow machine.
    """
    solver = _solver(seconds * COMPLETE_A_SECOND, most_s)
    solver.parameters.num_workers = 1
    return solver


def portfolio_solver(most_s: float, workers: int) -> cp_model.CpSolver:
    """Return a solver that runs CP-SAT's own mix of searches side by side until the time is over.

    What they find of each other depends on the machine, so the same problem may have another plan of the same end.
    """
    solver = _solver(inf, most_s)
    solver.parameters.num_workers = workers
    return solver


def neighbourhood_solver(seconds: float, most_s: float, workers: int, tasks: int) -> cp_model.CpSolver:
    """Return a solver that changes a small part of its best plan at a time, and proves nothing; see above."""
    solver = _solver(seconds * NEIGHBOURHOODS_A_SECOND / tasks, most_s)
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = True  # else threads share what they find whenever they happen to find it
    solver.parameters.use_lns_only = True
    solver.parameters.ignore_subsolvers.extend(TOO_LARGE)
    solver.parameters.lns_initial_difficulty = 0.1
    solver.parameters.lns_initial_deterministic_limit = 0.01  # many small tries rather than a few of a second each
    solver.parameters.cp_model_probing_level = 0  # what is worked out beforehand is worked out again for every try
    solver.parameters.symmetry_level = 0
    solver.parameters.linearization_level = 0
    return solver


def attempt_solver() -> cp_model.CpSolver:
    """Return a solver for a model of which most is fixed, to be called many times."""
    solver = _solver(WORK_OF_AN_ATTEMPT, MOST_S_OF_AN_ATTEMPT)
    solver.parameters.num_workers = 1
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.max_presolve_iterations = 1  # what is fixed is found at once; going on costs a third of each try
    solver.parameters.linearization_level = 0
    return solver


def _solver(work: float, most_s: float) -> cp_model.CpSolver:
    """Return a solver that leaves Ctrl-C to whoever has begun the program.

    Of itself CP-SAT takes Ctrl-C while it searches, and afterwards gives it back to the system: the program then ends.
    """
    solver = cp_model.CpSolver()
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = most_s
    solver.parameters.catch_sigint_signal = False
    return solver


class Teller(cp_model.CpSolverSolutionCallback):
    """Calls ``found`` for each better solution, whose values can be read during the call."""

    def __init__(self, found: Callable[["Teller"], None]) -> None:
        super().__init__()
        self._found = found

    def on_solution_callback(self) -> None:
        """Pass on the solution that was just found."""
        self._found(self)


@contextmanager
def watched(solver: cp_model.CpSolver, stopped: Callable[[], bool]) -> Iterator[None]:
    """Stop the search soon after ``stopped`` returns True, for as long as this context lasts."""
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
