"""Slack maximisation: of the plans that end no later, one whose starts keep well away from their latest moments."""

from dataclasses import replace

from bayapp.planning.core.check import checked
from bayapp.planning.core.effort import Effort
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.table import WANTED_S, Table
from bayapp.planning.solver.cp_sat import neighbourhood_solver, watched
from bayapp.planning.solver.model import PlanModel
from bayapp.planning.solver.ortools_alone import cp_model


def with_most_slack(problem: Problem, plan: Plan, effort: Effort) -> Plan:
    """Return a plan that ends no later than this one, with more slack before latest moments, as far as time allows.

    Missing slack is what ``Table.shortfall`` adds up: half of the window is wished for, but at most ten minutes.
    """
    close = Table(problem, plan).shortfall()
    if close == 0 or plan.makespan_s is None or effort.stopped():
        return plan
    built = PlanModel(problem, plan.makespan_s)
    short = built.model.new_int_var(0, close, "short")
    built.model.add(sum(_shortfalls(built)) <= short)
    built.model.minimize(short)
    built.hint(plan.starts_s, plan.done_by)
    solver = neighbourhood_solver(effort.seconds, effort.most_s, effort.workers, len(problem.tasks))
    with watched(solver, effort.stopped):
        status = solver.solve(built.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return plan
    starts = built.read_starts(solver)
    makespan = max(starts[t.id] + t.duration_s for t in problem.tasks)
    found = replace(plan, starts_s=starts, done_by=built.read_done_by(solver), makespan_s=makespan)
    return found if checked(problem, found).starts_s else plan


def _shortfalls(built: PlanModel) -> list[cp_model.LinearExprT]:
    found: list[cp_model.LinearExprT] = []
    for lag in built.problem.lags:
        if lag.max_s is not None:
            wish = min((lag.max_s - lag.min_s) // 2, WANTED_S)
            found.append(_below(built, wish, lag.max_s - built.starts[lag.then] + built.anchor(lag)))
    for task in built.problem.tasks:
        if task.latest_s is not None:
            wish = min((task.latest_s - task.earliest_s) // 2, WANTED_S)
            found.append(_below(built, wish, -built.starts[task.id] + task.latest_s))
    return found


def _below(built: PlanModel, wish: int, slack: cp_model.LinearExprT) -> cp_model.IntVar:
    short = built.model.new_int_var(0, max(0, wish), "short of the wish")
    built.model.add(short >= wish - slack)
    return short
