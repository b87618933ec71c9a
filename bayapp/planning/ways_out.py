"""Ways out where not every wait can be kept: each is tried out on a copy of the state, the cheapest come first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.job import FinishStep, fold, gate
from bayapp.job.gate.setting_aside import awaited
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.state import BayState
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.planning.core.problem import Problem
from bayapp.planning.core.work_order import Remedy, WayOut, WorkOrder
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.remaining_operations import task_id
from bayapp.planning.from_bay.situation import Situation
from bayapp.planning.heuristic.list_scheduling import list_schedule
from bayapp.planning.relaxation import SPARES, Relaxed, relaxed
from bayapp.planning.remedies import REMEDIES, Touch, Trouble, request_of
from bayapp.planning.trouble_text import trouble_sentence

MOST = 3
MOST_TRIED = 30
MOST_PLANNED = 9_000
"""Once something helps no more tasks than this are planned anew, all tries together; of one car that is every try."""
LARGE = 500
"""A bay with more tasks than this is first planned without time to spare in each try, which takes a third as long."""
NO_SPARE = (0.0,)
SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Found:
    """A way out, the plan once it is taken, and what is wrong even then."""

    way: WayOut
    then: Relaxed
    wrong: frozenset[tuple[str, ...]]


def ways_out(trouble: Trouble, last: WorkOrder | None, stopped: Callable[[], bool]) -> tuple[Found, ...]:
    """Return up to three ways out that leave least wrong, the cheapest first; none if nothing helps.

    Not tried is a touch that does the same to more zones than one that helps, nor one that cannot be among the three
    cheapest. In a large bay the search ends after about a try of each remedy, if one of them mends everything.
    """
    search = _Search(trouble, last)
    if len(trouble.settled.work.problem.tasks) <= LARGE:
        return _cheapest(_found(search, SPARES, stopped))
    if quickly := _cheapest(_found(search, NO_SPARE, stopped)):
        with_spare = [one if stopped() else search.tried(Touch.of(one.way), SPARES) or one for one in quickly]
        return _cheapest(with_spare)
    return _cheapest(_found(search, SPARES, stopped))


def _found(search: "_Search", spares: tuple[float, ...], stopped: Callable[[], bool]) -> list[Found]:
    """Return the ways out that were found before the search ended."""
    found: list[Found] = []
    for touch in search.touches():
        whole = [one for one in found if not one.wrong]
        if stopped() or (whole and search.planned >= MOST_PLANNED):
            break
        in_vain = any(_goes_further(touch, other.way) for other in found) or _is_too_dear(touch, whole)
        if not in_vain and (tried := search.tried(touch, spares, keeps_all=bool(whole))):
            found.append(tried)
    return found


def _cheapest(found: Sequence[Found]) -> tuple[Found, ...]:
    """Return up to three of those that leave least wrong."""
    least = min((len(one.wrong) for one in found), default=0)
    best = [one for one in found if len(one.wrong) == least]
    return tuple(sorted(best, key=lambda one: cheapest_first(one.way))[:MOST])


def cheapest_first(way: WayOut) -> tuple[int, int, str]:
    """Return the sort key of a way out; of the same price the one that touches fewer zones."""
    return way.price_s, len(way.zones), f"{way.finish}/{way.remedy}/{way.job}/{','.join(way.zones)}"


def _goes_further(touch: Touch, way: WayOut) -> bool:
    """Whether a touch does the same to more zones than a way out that has been found."""
    same = (touch.remedy, touch.job, touch.step, touch.to) == (way.remedy, way.job, way.step, way.to)
    return same and set(way.zones) <= set(touch.zones)


def _is_too_dear(touch: Touch, whole: Sequence[Found]) -> bool:
    """Whether three ways out that mend everything cost no more than this touch does at the least."""
    row = REMEDIES[touch.remedy]
    least_s = row.price_s + row.zone_price_s * len(touch.zones)
    return sum(one.way.price_s <= least_s for one in whole) >= MOST


class _Search:
    def __init__(self, trouble: Trouble, last: WorkOrder | None) -> None:
        self.trouble, self.situation, self.last = trouble, trouble.situation, last
        work = trouble.settled.work
        self.incomplete = bool(work.left_out or work.held)  # then it does not tell when all would be done
        self.untroubled_s = _untroubled_s(work)
        self.wrong = _wrong(trouble.settled)
        self.standing = set(_standing(trouble))
        self.planned = 0

    def touches(self) -> Iterator[Touch]:
        """Yield what is worth trying, the most promising of each remedy first, the remedies in turns."""
        left = [row.tried_on(self.trouble) for row in REMEDIES.values()]
        for _number in range(MOST_TRIED):
            if not left:
                return
            turn = left.pop(0)
            if touch := next(turn, None):
                left.append(turn)
                yield touch

    def tried(self, touch: Touch, spares: tuple[float, ...], *, keeps_all: bool = False) -> Found | None:
        """Return the way out that a touch is: the gate takes it, and then less is wrong and nothing else is.

        Args:
            spares: shares of every window that its plan may leave unused, the best first.
            keeps_all: what does not mend everything is of no use.
        """
        done, then = self._done(touch), self.trouble.settled
        if done is None:
            return None
        if asks := touch.remedy is not Remedy.GO_ON:
            if _left_lying(done.state, touch):
                return None
            keeps_all = keeps_all and bool(self.trouble.settled.plan.starts_s)
            then = relaxed(done, self.last, spares=spares, keeps_all=keeps_all)
            self.planned += len(then.work.problem.tasks)
        wrong = _wrong(then, losses=asks and bool(self.trouble.settled.plan.starts_s))
        if not wrong < self.wrong or (then.work.problem.tasks and not then.plan.starts_s):
            return None
        lost = asks and bool(then.losses)  # where no plan held, a window may be the price of one
        still = trouble_sentence(Trouble(done, then)) if wrong or lost else ""
        return Found(self._priced(touch, then, still), then, wrong)

    def _done(self, touch: Touch) -> Situation | None:
        """Return the bay once a touch is made, and what must be done before it; None where the gate refuses it."""
        state, at = self._coated(touch) if touch.once else (self.situation.state, self.situation.at)
        request = request_of(replace(touch, once=None), None)
        if request is None:
            return replace(self.situation, state=state, at=at)
        verdict = gate(state, request, at)
        return replace(self.situation, state=fold(verdict.events, state), at=at) if verdict.accepted else None

    def _coated(self, touch: Touch) -> tuple[BayState, datetime]:
        """Return the bay once all coats under way on these zones are done as expected, and when that is."""
        work, state = self.trouble.settled.work, self.situation.state
        laid = [r for r in work.rung_of.values() if r.run and r.job == touch.job and r.zone in touch.zones]
        at = work.moment(max((work.problem.task_of[task_id(r.key)].duration_s for r in laid), default=0))
        for rung in laid:
            done = FinishStep(rung.job, (rung.zone,), StepId(rung.step.id), rung.run.by if rung.run else None)
            state = fold(gate(state, done, at).events, state)
        return state, at

    def _priced(self, touch: Touch, then: Relaxed, still: str) -> WayOut:
        ends_s = then.plan.makespan_s or 0
        before_s = (then.work.at - self.situation.at) // SECOND
        untroubled_s = _untroubled_s(then.work) if self.incomplete else self.untroubled_s - before_s
        later_s = max(0, ends_s - untroubled_s)
        row, rework_s = REMEDIES[touch.remedy], sum(self._again(then.work))
        return WayOut(
            remedy=touch.remedy,
            job=touch.job,
            zones=touch.zones,
            step=touch.step,
            to=touch.to,
            until=touch.until,
            once=touch.once,
            finish=then.work.moment(ends_s),
            later_s=later_s,
            rework_s=rework_s,
            price_s=later_s + rework_s + row.price_s + row.zone_price_s * len(touch.zones),
            still=still,
        )

    def _again(self, work: Work) -> Iterator[int]:
        """Yield the length of each step that is planned though it stood on a ladder before, or planned twice."""
        done = set(self.standing)
        for rung in work.rung_of.values():
            step = rung.job, rung.zone, StepId(rung.step.id)
            again = step in done and rung.run is None
            done.add(step)
            if again:
                job = self.situation.state.jobs[rung.job].job
                yield round(self.situation.minutes(job, rung.zone, rung.step) * 60)


def _wrong(settled: Relaxed, losses: bool = True) -> frozenset[tuple[str, ...]]:
    """Return what a plan does not do: steps left out, zones held, hours, and ``losses``; all of it, if it is none."""
    wrong: set[tuple[str, ...]] = {key[:3] for key in settled.work.left_out} | set(settled.work.held)
    if settled.overtime:
        wrong.add(("overtime",))
    if losses:
        wrong |= {loss.window for loss in settled.losses}
    if not settled.plan.starts_s:
        wrong |= {rung.key[:3] for rung in settled.work.rung_of.values() if rung.run is None}
    return frozenset(wrong)


def _left_lying(state: BayState, touch: Touch) -> bool:
    """Whether the touch leaves a zone for another day with something unfinished on it, so that no car could go."""
    job = state.jobs[touch.job]
    return touch.remedy is Remedy.ASIDE and any(zone in awaited(job) for zone in touch.zones)


def _untroubled_s(work: Work) -> int:
    """Return when everything would be done if no coat forbade anything and nothing could come too late."""
    problem = work.problem
    free = Problem(
        tuple(replace(task, latest_s=None) for task in problem.tasks),
        tuple(replace(lag, max_s=None) for lag in problem.lags),
        problem.capacities,
        problem.lasts,
        (),
        problem.closed,
    )
    return list_schedule(free).makespan_s or 0


def _standing(trouble: Trouble) -> Iterator[tuple[JobId, ZoneId, StepId]]:
    """Yield the steps that count as done now."""
    for job in trouble.situation.state.open_jobs:
        for zone, known in job.zones.items():
            rungs = known.rungs if known.running else ladder_position(job, zone, trouble.situation.at).rungs
            yield from ((job.job.id, zone, run.step) for run in rungs)
