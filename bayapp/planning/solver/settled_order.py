"""A problem narrowed to plans that shut out what one plan does: no guard is left to decide."""

from collections import defaultdict
from dataclasses import replace
from itertools import pairwise

from bayapp.planning.core.implied import families
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.problem import Lag, LastOf, Problem
from bayapp.planning.core.transitive_precedence import leads_to
from bayapp.planning.solver.alike import alike, in_turn


def as_settled(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    """Return a narrower problem around a plan that obeys it, and the plan with what is alike in turn.

    What a guard keeps out stays before or after it, as in the plan, and of ladders that are the same but for their
    names the first goes first. Every plan of the narrower problem is one of the whole; it is much easier to search.
    """
    groups = alike(problem)
    plan = in_turn(plan, groups)
    before: dict[tuple[str, ...], set[str]] = defaultdict(set)
    lags = [
        Lag(a, b, 0, None, "start-start")
        for group in groups
        for same in zip(*group, strict=True)
        for a, b in pairwise(same)
    ]
    reached = leads_to(problem)
    for family in families(problem.guards):
        kept_out = {t for guard in family for t in guard.against if problem.task_of[t].duration_s}
        for guard in family:
            if guard.first is not None and guard.last is not None:
                early = {t for t in kept_out & guard.against if _end(problem, plan, t) <= plan.starts_s[guard.first]}
                lags += [Lag(guard.last, t, guard.longer_s) for t in sorted(kept_out & guard.against - early)]
                anyway = {t for t in kept_out if guard.first in reached[t]}  # so that most guards wait for the same
                before[tuple(sorted(early | anyway))].add(guard.first)
    lasts = [LastOf(f"quiet {n}", early) for n, early in enumerate(before) if early]
    lags += [Lag(last.id, first) for last in lasts for first in sorted(before[last.tasks])]
    left = tuple(g for g in problem.guards if g.first is None or g.last is None)
    narrower = replace(problem, lags=(*problem.lags, *lags), lasts=(*problem.lasts, *lasts), guards=left)
    return narrower, plan


def _end(problem: Problem, plan: Plan, task: str) -> int:
    return plan.starts_s[task] + problem.task_of[task].duration_s
