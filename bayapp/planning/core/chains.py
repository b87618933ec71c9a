"""Which tasks waits tie together."""

from bayapp.planning.core.problem import Problem


def chains(problem: Problem) -> list[list[str]]:
    """Return the tasks in groups that waits tie together: the ladders of a day, the jobs of a job shop."""
    chain_of = {task.id: [task.id] for task in problem.tasks}
    for lag in problem.lags:
        joined, more = chain_of.get(lag.first), chain_of[lag.then]
        if joined is not None and joined is not more:
            joined += more
            chain_of |= dict.fromkeys(more, joined)
    return list({id(chain): chain for chain in chain_of.values()}.values())
