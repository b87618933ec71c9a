"""What goes on while CP-SAT searches: better plans are passed on, and a wish to stop is heard."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

from ortools.sat.python import cp_model

LOOK_S = 0.05


def new_solver(seconds: float, workers: int) -> cp_model.CpSolver:
    """Return a solver that searches so long with so many threads and leaves Ctrl-C to whoever has begun the program.

    Of itself CP-SAT takes Ctrl-C while it searches, and afterwards gives it back to the system: the program then ends.
    """
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.catch_sigint_signal = False
    return solver


class Teller(cp_model.CpSolverSolutionCallback):
    """Calls ``found`` with each better solution; its values can be asked for while it does."""

    def __init__(self, found: Callable[["Teller"], None]) -> None:
        super().__init__()
        self._found = found

    def on_solution_callback(self) -> None:
        """Pass on the solution that was just found."""
        self._found(self)


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
