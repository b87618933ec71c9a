"""From a problem to a plan: our first answer, then CP-SAT's search."""

from collections.abc import Callable

from bayapp.planning.core.effort import USUAL, Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem

OnBetter = Callable[[Plan], None]


def solve(
    problem: Problem,
    effort: Effort = USUAL,
    hint: Plan | None = None,
    on_better: OnBetter | None = None,
    explain: bool = True,
) -> Plan:
    """Return the plan that ends soonest, and how soon any plan could end.

    Args:
        hint: a plan to begin from, of this problem or of one much like it.
        on_better: called with each better plan as it is found.
        explain: whether to look for what clashes if there is no plan, which may take some seconds more.

    Returns:
        A plan whose ``status`` is "optimal" when no plan ends sooner; "infeasible" with the clash where not
        all waits can hold; "unknown" when the time ran out before there was any answer.
    """
    from bayapp.planning.solver.search import Search, with_conflict  # noqa: PLC0415 (loading OR-Tools takes half a second and 90 MB)

    plan = Search(problem, effort, on_better or (lambda _: None)).run(hint)
    if plan.status == "infeasible":
        return with_conflict(problem, plan, effort.stopped) if explain else plan
    return plan if plan.starts_s or not problem.tasks else Plan("unknown")
