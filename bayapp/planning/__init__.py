"""The planner: problem, solve, advise, risk. OR-Tools is loaded only when ``solve`` is first called."""

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import ForbiddenInterval, Lag, LastOf, Problem, Task
from bayapp.planning.core.work_order import Choice, Loss, PlannedStep, WorkOrder
from bayapp.planning.solver.solve import solve

__all__ = [
    "Choice",
    "ForbiddenInterval",
    "Lag",
    "LastOf",
    "Loss",
    "Plan",
    "PlannedStep",
    "Problem",
    "Task",
    "WorkOrder",
    "solve",
]
