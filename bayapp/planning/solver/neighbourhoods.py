"""Large neighbourhood search: a few tasks of the best plan are planned anew, and what begins later moves as one."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import repeat
from random import Random

from bayapp.planning.core.chains import chains
from bayapp.planning.core.plan import Plan
from bayapp.planning.solver.cp_sat import attempt_solver
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.ortools_alone import cp_model

STRETCHES, CHAINS = (10, 20, 40), 2
"""How many tasks that begin one after the other are free in a try, and how many whole chains beside them."""
ROUNDS_A_SECOND = 8000
"""How many rounds one second is taken for, to be divided by the number of tasks: each try goes through all of them."""


def better_plans(built: PlanModel, best: Plan, seconds: float, workers: int) -> Iterator[Plan]:
    """Yield a plan that ends no later after each round, in which every worker tries one neighbourhood of it.

    Which neighbourhoods are tried depends on the problem alone, so that the same problem has the same plans. Of what a
    round finds, the plan that ends soonest is gone on from, and of several the one whose tasks begin sooner: what
    stands in the way of a sooner end is cleared little by little.
    """
    tasks, tied, random = built.problem.tasks, chains(built.problem), Random(0)
    built.model.minimize(built.makespan * len(tasks) + sum(built.starts.values()))
    with ThreadPoolExecutor(workers) as threads:
        for _ in range(max(1, round(seconds * ROUNDS_A_SECOND / len(tasks)))):
            models = [_neighbourhood(built, best, tied, random) for _ in range(workers)]
            found = list(threads.map(_best_of, repeat(built), models, repeat(best)))
            best = min(found, key=lambda plan: (plan.makespan_s, sum(plan.starts_s.values())))
            yield best


def _neighbourhood(built: PlanModel, best: Plan, tied: list[list[str]], random: Random) -> cp_model.CpModel:
    """Return the model with a stretch and some chains free; what begins before the stretch stays where it is."""
    order = sorted(best.starts_s, key=lambda task: (best.starts_s[task], task))
    length = random.choice(STRETCHES)
    first = random.randrange(-length // 2, max(1, len(order) - length // 2))
    end = max(0, first + length)
    whole = random.sample(tied, min(CHAINS, len(tied)))
    free = {*order[max(0, first) : end], *(task for chain in whole for task in chain)}
    return built.around(best, free, set(order[end:]))


def _best_of(built: PlanModel, model: cp_model.CpModel, best: Plan) -> Plan:
    """Return what is found in a neighbourhood of the best plan; where nothing is, that plan itself."""
    solver = attempt_solver()
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return best
    starts = built.read_starts(solver)
    makespan_s = max(starts[task.id] + task.duration_s for task in built.problem.tasks)
    return replace(best, starts_s=starts, done_by=built.read_done_by(solver), makespan_s=makespan_s)
