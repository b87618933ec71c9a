"""The planner: problem, solve, advise, risk. OR-Tools is loaded only when ``solve`` is first called."""

from bayapp.planning.plan import Plan
from bayapp.planning.problem import Guard, Lag, LastOf, Problem, Task
from bayapp.planning.solve import solve
from bayapp.planning.work_order import Choice, Loss, PlannedStep, WorkOrder

__all__ = [
    "Choice",
    "Guard",
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
