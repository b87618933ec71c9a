"""From a problem to a plan: our first answer, then CP-SAT's search."""

from collections.abc import Callable

from bayapp.planning.core.effort import Effort, never
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem

OnBetter = Callable[[Plan], None]


def solve(
    problem: Problem,
    seconds: float = 5.0,
    workers: int = 2,
    hint: Plan | None = None,
    on_better: OnBetter | None = None,
    stopped: Callable[[], bool] = never,
    explain: bool = True,
    patience: float = 1.0,
) -> Plan:
    """Return the plan that ends soonest, and how soon any plan could end.

    Args:
        seconds: how long the search may take. It is held to the work that a usual machine does in less than that, so
            that the same problem has the same plan, unless the machine is so slow that the time runs out first.
        workers: how many threads search; from eight on time is the limit, and the plan depends on the machine.
        hint: a plan to begin from, of this problem or of one much like it.
        on_better: called with each better plan as it is found.
        stopped: called now and then; once it returns True, the best plan so far is returned.
        explain: whether to look for what clashes if there is no plan, which may take some seconds more.
        patience: how many times as long as ``seconds`` a slow machine may take for the same work.

    Returns:
        A plan whose ``status`` is "optimal" when no plan ends sooner; "infeasible" with the clash where not
        all waits can hold; "unknown" when the time ran out before there was any answer.
    """
    return soonest(problem, Effort(seconds, workers, stopped, patience), hint, on_better, explain)


def soonest(
    problem: Problem,
    effort: Effort,
    hint: Plan | None = None,
    on_better: OnBetter | None = None,
    explain: bool = True,
) -> Plan:
    """Do the work of ``solve`` within this effort."""
    from bayapp.planning.solver.search import Search, with_conflict  # noqa: PLC0415 (loading OR-Tools takes half a second and 90 MB)

    plan = Search(problem, effort, on_better or (lambda _: None)).run(hint)
    if plan.status == "infeasible":
        return with_conflict(problem, plan, effort.stopped) if explain else plan
    return plan if plan.starts_s or not problem.tasks else Plan("unknown")
