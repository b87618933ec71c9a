"""From a problem to a plan: our first answer, then CP-SAT's search."""

from collections.abc import Callable

from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem

Told = Callable[[Plan], None]
Stopped = Callable[[], bool]


def never() -> bool:
    """Nobody stops the search."""
    return False


def solve(
    problem: Problem,
    seconds: float = 5.0,
    workers: int = 2,
    hint: Plan | None = None,
    told: Told | None = None,
    stopped: Stopped = never,
    explain: bool = True,
) -> Plan:
    """Return the plan that ends soonest, and how soon any plan could end.

    Args:
        seconds: how long the search may take.
        workers: how many threads search.
        hint: a plan to begin from, of this problem or of one much like it.
        told: hears of each better plan as it is found.
        explain: whether to look for what clashes where there is no plan, which may take some seconds more.
        stopped: asked now and then; once it is true, the best plan so far is returned.

    Returns:
        A plan whose ``status`` is "optimal" when no plan ends sooner; "infeasible" with the clash where not
        all waits can hold; "unknown" when the time ran out before there was any answer.
    """
    from bayapp.planning.solver.search import search  # noqa: PLC0415 (loading OR-Tools takes half a second and 90 MB)

    return search(problem, seconds, workers, hint, told or (lambda _: None), stopped, explain)
