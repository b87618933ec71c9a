"""A plan: when each task starts and how good that is proven to be, or what cannot all hold."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bayapp.planning.core.problem import Lag, Task

Status = Literal["optimal", "feasible", "infeasible", "unknown"]


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer to a problem; whole seconds from the moment the plan begins.

    Attributes:
        status: "optimal" and "feasible" carry starts; "infeasible" carries the clash; "unknown" means that the time
            ran out before there was either.
        makespan_s: when the last task ends; None without starts.
        bound_s: no plan can end earlier; None where nothing is known.
        starts_s: task id to start.
        done_by: task id to which of its ``one_of`` does it.
        clash: tasks with a latest start, and waits, that cannot all hold; leaving out any one of them would help.
    """

    status: Status
    makespan_s: int | None = None
    bound_s: int | None = None
    starts_s: Mapping[str, int] = field(default_factory=dict)
    done_by: Mapping[str, str] = field(default_factory=dict)
    clash: tuple[Task | Lag, ...] = ()
