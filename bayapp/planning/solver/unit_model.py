"""A problem before CP-SAT in its longest unit of time, and what it finds read back in seconds. Searches nothing."""

from ortools.sat.python import cp_model

from bayapp.planning.core.bounds import earliest_starts, least_left
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.time_unit import in_units, unit_of
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.watching import Teller


class UnitModel:
    """A model whose objective is the soonest end.

    Args:
        latest_s: nothing ends later.
        least_s: nothing ends sooner.
        hint: a plan to begin from; it may be without starts.

    Attributes:
        model: for CP-SAT.
        unit: how many seconds one of its units is.
    """

    def __init__(self, problem: Problem, latest_s: int, least_s: int, hint: Plan) -> None:
        self.unit = unit_of(problem)
        small = in_units(problem, self.unit)
        self._built = PlanModel(small, latest_s // self.unit)
        self.model = self._built.model
        self.model.add(self._built.makespan >= -(-least_s // self.unit))
        self._built.keep_to(earliest_starts(small), least_left(small))
        self.model.minimize(self._built.makespan)
        self._built.hint({task: start // self.unit for task, start in hint.starts_s.items()}, hint.done_by)

    def read(self, value: cp_model.CpSolver | Teller) -> Plan:
        """Return a solution, with the bound that is proven so far, in seconds."""
        starts = {task: start * self.unit for task, start in self._built.read_starts(value).items()}
        bound = max(0, round(value.best_objective_bound)) * self.unit
        makespan = round(value.objective_value) * self.unit
        return Plan("feasible", makespan, bound, starts, self._built.read_done_by(value))
