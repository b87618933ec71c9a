"""What else could be begun now, and what it would cost: each choice is tried out on a copy of the state."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from bayapp.job import Verdict, advise, clocks, fold, gate
from bayapp.job.gate.place_gate import answers_to
from bayapp.job.model.ids import Person
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState
from bayapp.planning.core.promises import lateness_s
from bayapp.planning.core.work_order import Choice, Loss, WorkOrder
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.relaxation import Relaxed, relaxed

MOST = 4


def choices(
    situation: Situation, order: WorkOrder, let_go: frozenset[tuple[str, str]], stopped: Callable[[], bool]
) -> Iterator[Choice]:
    """Yield what each free person could begin now, the most pressing first, with what it would cost.

    A window counts as lost when it could be kept under ``order`` and no longer can once the choice is begun.
    """
    state, at = situation.state, situation.at
    now = clocks(state, at)
    busy = {c.running.by for c in now if c.running}
    crew = dict.fromkeys(p for job in state.open_jobs for p in job.job.crew)
    people: list[Person | None] = [p for p in crew if p not in busy] if crew else [None]
    for person in people:
        for advice in advise(state, now, person, at)[:MOST]:
            if stopped():
                return
            start = Start(advice.job, advice.zones, advice.step, person)
            verdict = gate(state, start, at)
            if verdict.possible:
                then = relaxed(replace(situation, state=_begun(start, verdict, state, at)), order)
                yield Choice(
                    job=advice.job,
                    zones=advice.zones,
                    step=advice.step,
                    person=person,
                    cost_s=_cost(order, then),
                    losses=tuple(loss for loss in then.losses if (loss.job, loss.zone) not in let_go),
                )


def _begun(start: Start, verdict: Verdict, state: BayState, at: datetime) -> BayState:
    """Return the state once a step has begun; where it was asked first, as if the answer were yes."""
    for answer in answers_to(verdict, out_of_reach=True):
        state = fold(gate(state, answer, at).events, state)
    return fold((verdict if verdict.accepted else gate(state, start, at)).events, state)


def _cost(order: WorkOrder, then: Relaxed) -> int:
    if order.finish is None or then.plan.makespan_s is None:
        return 0
    finish = then.work.moment(then.plan.makespan_s)
    later = lateness_s(then.work.problem, then.plan) - order.late_s
    return max(0, later, round((finish - order.finish) / timedelta(seconds=1)))


def unavoidable(losses: tuple[Loss, ...]) -> frozenset[tuple[str, str]]:
    """Return the zones that are lost whatever is done."""
    return frozenset((loss.job, loss.zone) for loss in losses)
