"""From the bay to a work order: a first order at once, then better ones. The planner's entry point.

A plan within a minute of a sooner one is kept, so that a small delay does not turn the board upside down.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from math import inf
from time import perf_counter

from bayapp.job.gate.mark_rules import forbidden_by
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.state import BayState
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal
from bayapp.job.waits.bans import stopped
from bayapp.planning.alternatives import choices, unavoidable
from bayapp.planning.circles import Circle, circles
from bayapp.planning.conflict_text import conflict_sentences
from bayapp.planning.core.check import checked, faults
from bayapp.planning.core.effort import USUAL, Effort
from bayapp.planning.core.plan import Plan, Status
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.promises import lateness_s, with_deadlines
from bayapp.planning.core.work_order import Forbidden, LeftOut, PlannedStep, WayOut, WorkOrder
from bayapp.planning.from_bay.from_job import Work, work_of
from bayapp.planning.from_bay.pace import durations, sigmas, spreads, timed_runs
from bayapp.planning.from_bay.shop import Shop
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.local_search import local_search
from bayapp.planning.heuristic.one_by_one import one_by_one
from bayapp.planning.orders import Ways, people_of, planned_steps
from bayapp.planning.relaxation import Relaxed, relaxed
from bayapp.planning.remedies import Trouble
from bayapp.planning.solver.solve import solve
from bayapp.planning.trouble_text import trouble_sentence
from bayapp.planning.ways_out import Found, ways_out
from bayapp.text.language import _

SHARE_WHOLE, SHARE_SOONEST, SHARE_SAFER, SHARE_ROBUST = 0.3, 0.6, 0.15, 0.25
"""Shares of the time; a search that keeps all takes its share of that for the soonest end. None hangs on how long the
stage before it really took, so that the same bay has the same plan."""
WORTH_CHANGING_S = 60
WEIGH_FIRST_S = 0.25


def plan_work(
    state: BayState,
    at: datetime,
    shop: Shop,
    effort: Effort = USUAL,
    *,
    last: WorkOrder | None = None,
    on_better: Callable[[WorkOrder], None] | None = None,
) -> WorkOrder:
    """Return the order in which everything left to do in the bay is best done, from ``at`` on.

    Best is, in this order: no latest moment missed; the least late for what was promised; the earliest end; starts well
    inside their windows; few walks and changes; the order of ``last``, unless another ends at least a minute sooner or
    keeps what that does not.

    Args:
        effort: once it is stopped, the best order so far is returned soon.
        on_better: called with each better order; the first one comes before any search.
    """
    return _Planner(state, at, shop, effort, last, on_better).run()


class _Planner:
    def __init__(
        self,
        state: BayState,
        at: datetime,
        shop: Shop,
        effort: Effort,
        last: WorkOrder | None,
        on_better: Callable[[WorkOrder], None] | None,
    ) -> None:
        self.effort, self.last, self.on_better = effort, last, on_better
        paces = spreads(timed_runs(state.jobs.values()))
        self.situation = Situation(state, at, shop, durations(paces))
        self.sigma = sigmas(paces)
        self.clash: tuple[str, ...] = ()
        self.proven = False
        self.one_by_one: datetime | None = None
        self.trouble = ""
        self.ways_out: tuple[WayOut, ...] = ()
        self.order = WorkOrder(status="unknown", made_for=at, entry=state.last_at)

    def run(self) -> WorkOrder:
        """Plan in stages, each reporting what it has found; once stopped, do only what costs no time."""
        settled = relaxed(self.situation, self.last)
        self.clash = (_("Work goes on past the hours: a moment would be missed else."),) if settled.overtime else ()
        if not settled.work.problem.tasks:
            return self._nothing(settled)
        share = SHARE_SOONEST
        if not settled.plan.starts_s and (closed := circles(settled.work)):
            return self._stuck(settled, closed)
        if settled.plan.starts_s:
            if self.last and self.last.trouble:  # else a search may keep what the first plan gives up
                self._look_for_ways_out(settled)
            self._tell(self._order(settled, settled.plan))
            self._compare(settled.work)
            self._weigh(settled, until=perf_counter() + WEIGH_FIRST_S)
            if not settled.whole:
                settled, share = self._try_to_keep_all(settled), SHARE_SOONEST - SHARE_WHOLE
            self._look_for_ways_out(settled)
        plan = self._soonest(settled, share)
        if not plan.starts_s:
            return self._none(settled, plan)
        if self.effort.stopped():
            return self.order if settled.plan.starts_s else self._tell(self._order(settled, plan))
        problem = with_deadlines(settled.work.problem, plan)
        plan, cost = self._most_robust(settled.work, problem, self._with_most_slack(problem, plan))
        plan = self._locally_improved(settled.work, problem, plan)
        more = {**self._risk(settled.work, plan), "safety_cost_s": cost, "choices": self.order.choices}
        self._tell(self._order(settled, plan).model_copy(update=more))
        return self._weigh(settled)

    def _look_for_ways_out(self, settled: Relaxed, closed: tuple[Circle, ...] = ()) -> tuple[Found, ...]:
        """Say what is wrong with a plan, and try out what could be done about it; where nothing is, say nothing."""
        trouble = Trouble(self.situation, settled, closed)
        self.trouble, self.ways_out = trouble_sentence(trouble), ()
        if not self.trouble or self.effort.stopped():
            return ()
        found = ways_out(trouble, self.last, self.effort.stopped)
        self.ways_out = tuple(one.way for one in found)
        return found

    def _nothing(self, settled: Relaxed) -> WorkOrder:
        """Return the order of a bay in which nothing can be planned: all is done, or somebody must see to something."""
        self._look_for_ways_out(settled)
        at = self.situation.at
        done = {"status": "optimal", "finish": at, "bound": at}
        said = {"trouble": self.trouble, "ways_out": self.ways_out, "stuck": bool(self.trouble)}
        return self._tell(self.order.model_copy(update={**done, **said, **self._not_planned(settled.work)}))

    def _stuck(self, settled: Relaxed, closed: tuple[Circle, ...] = (), status: Status = "infeasible") -> WorkOrder:
        """Return the plan that holds once the cheapest way out is taken; no plan holds before."""
        found = self._look_for_ways_out(settled, closed)
        order = self._order(found[0].then, found[0].then.plan) if found else self._order(settled, settled.plan)
        now = {"status": status, "stuck": True}
        return self._tell(order.model_copy(update={**now, **self._not_planned(settled.work)}))

    def _not_planned(self, work: Work) -> dict[str, object]:
        return {"left_out": _left_out(work), "forbidden": self._forbidden(work)}

    def _compare(self, work: Work) -> None:
        """Work out how long it would take to do one zone after another."""
        if not self.effort.stopped():
            alone = one_by_one(work.problem, {t: f"{r.job}/{r.zone}" for t, r in work.rung_of.items()})
            self.one_by_one = None if alone.makespan_s is None else work.moment(alone.makespan_s)

    def _weigh(self, settled: Relaxed, until: float = inf) -> WorkOrder:
        """Try out what else could be begun now, as much of it as there is time for."""
        lost = unavoidable(settled.losses)

        def enough() -> bool:
            return self.effort.stopped() or perf_counter() > until

        found = tuple(choices(self.situation, self.order, lost, enough))
        whole = found if len(found) >= len(self.order.choices) else self.order.choices
        return self._tell(self.order.model_copy(update={"choices": whole, "one_by_one": self.one_by_one}))

    def _try_to_keep_all(self, settled: Relaxed) -> Relaxed:
        """Search for a plan that keeps what the first one gave up; if there is none, say what clashes."""
        if self.effort.stopped():
            return settled
        whole = work_of(self.situation)
        plan = solve(whole.problem, self.effort.share(SHARE_WHOLE), settled.plan)
        if plan.starts_s:
            self.clash = ()
            return Relaxed(whole, plan)
        if plan.status == "infeasible":
            self.proven = not settled.overtime
            self.clash = (*self.clash, *self._conflict(whole, plan))
        return settled

    def _soonest(self, settled: Relaxed, share: float) -> Plan:
        problem, first = settled.work.problem, settled.plan
        if self.effort.stopped():
            return first
        best = solve(problem, self.effort.share(share), first)
        if not best.starts_s:
            return first if first.starts_s else best
        if first.makespan_s is None or best.makespan_s is None:
            return best
        late, least = lateness_s(problem, first), lateness_s(problem, best)
        gained = max(late - least, first.makespan_s - best.makespan_s)
        if gained >= WORTH_CHANGING_S or (late and not least):
            return best
        return replace(
            first, bound_s=best.bound_s, status="optimal" if first.makespan_s == best.bound_s else "feasible"
        )

    def _with_most_slack(self, problem: Problem, plan: Plan) -> Plan:
        from bayapp.planning.solver.slack_maximisation import with_most_slack  # noqa: PLC0415 (OR-Tools; ``solve`` has loaded it by now)

        return with_most_slack(problem, plan, self.effort.share(SHARE_SAFER))

    def _spread(self, work: Work) -> dict[str, float]:
        jobs = self.situation.state.jobs
        return {t: self.sigma(jobs[rung.job].job, rung.zone, rung.step) for t, rung in work.rung_of.items()}

    def _most_robust(self, work: Work, problem: Problem, plan: Plan) -> tuple[Plan, int]:
        from bayapp.planning.robust.robust import more_robust  # noqa: PLC0415 (numpy, 10 MB; no first order needs it)

        found, cost = more_robust(work.problem, plan, self._spread(work), self.effort.share(SHARE_ROBUST))
        return (found, cost) if not faults(problem, found) else (plan, 0)

    def _risk(self, work: Work, plan: Plan) -> dict[str, object]:
        from bayapp.planning.robust.risk import simulate  # noqa: PLC0415 (see above)

        risk = simulate(work.problem, plan, self._spread(work))
        return {
            "finish_p50": work.moment(round(risk.finish_p50_s)),
            "finish_p90": work.moment(round(risk.finish_p90_s)),
            "lapse_chance": risk.lapse_chance,
        }

    def _locally_improved(self, work: Work, problem: Problem, plan: Plan) -> Plan:
        ways = Ways(work, self.situation.state)
        people = people_of(work, plan, ways)
        tidied = local_search(problem, plan, ways, lambda task: str(people[task]), self.effort.stopped)
        return tidied if checked(problem, tidied).starts_s else plan

    def _order(self, settled: Relaxed, plan: Plan) -> WorkOrder:
        work = settled.work
        return WorkOrder(
            status=self._status(settled, plan),
            made_for=self.situation.at,
            entry=self.situation.state.last_at,
            steps=self._steps(work, plan) if plan.starts_s else (),
            finish=None if plan.makespan_s is None else work.moment(plan.makespan_s),
            bound=None if plan.bound_s is None else work.moment(plan.bound_s),
            losses=settled.losses,
            left_out=_left_out(work),
            forbidden=self._forbidden(work),
            clash=self.clash,
            assumed=work.assumed,
            one_by_one=self.one_by_one,
            trouble=self.trouble,
            ways_out=self.ways_out,
            promised=bool(work.problem.promises),
            late_s=lateness_s(work.problem, plan) if plan.starts_s else 0,
        )

    def _forbidden(self, work: Work) -> tuple[Forbidden, ...]:
        """Return what is not done for a mark, each with why, and from when it may be where that is known."""
        state, known = self.situation.state, dict[tuple[JobId, ZoneId], Refusal]()
        for job, zone, step, _turn in work.forbidden:
            if (job, zone) not in known:  # the first of a zone's steps comes first
                place = state.jobs[job].job.recipe_of(zone).position(step)
                if ban := stopped(state.jobs[job], zone, (place,), self.situation.at):
                    known[job, zone] = forbidden_by(ban, state.jobs[job], zone)
        why = {place: why_not(refusal, state, self.situation.shop.tz) for place, refusal in known.items()}
        return tuple(
            Forbidden(job=job, zone=zone, step=step, why=why[job, zone], until=known[job, zone].right_from)
            for job, zone, step, _turn in work.forbidden
            if (job, zone) in known
        )

    def _steps(self, work: Work, plan: Plan) -> tuple[PlannedStep, ...]:
        return planned_steps(work, plan, people_of(work, plan, Ways(work, self.situation.state)))

    def _status(self, settled: Relaxed, plan: Plan) -> Status:
        """Return "infeasible" if it is proven that not everything can be kept, "unknown" if it only looks so."""
        if not settled.losses:
            return plan.status
        return "infeasible" if self.proven else "unknown"

    def _none(self, settled: Relaxed, plan: Plan) -> WorkOrder:
        self.clash = self._conflict(settled.work, plan)
        return self._stuck(settled, status=plan.status)

    def _conflict(self, work: Work, plan: Plan) -> tuple[str, ...]:
        return conflict_sentences(work, self.situation.state, plan.clash, self.situation.shop.tz)

    def _tell(self, order: WorkOrder) -> WorkOrder:
        self.order = order
        if self.on_better:
            self.on_better(order)
        return order


def _left_out(work: Work) -> tuple[LeftOut, ...]:
    return tuple(LeftOut(job=job, zone=zone, step=step) for job, zone, step, _number in work.left_out)
