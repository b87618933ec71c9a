"""What the plan holds back though it could be begun now, and what it comes after: by the work order alone."""

from bisect import bisect_left
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job import BayState
from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import COVERING_KINDS, Step
from bayapp.planning.core.work_order import PlannedStep, WorkOrder

LATER = timedelta(minutes=2)
"""What the plan has sooner than this is next, and not held back."""
SECOND = timedelta(seconds=1)
GAP = timedelta(minutes=1)
"""A step comes after what ended no longer than this before it."""


@dataclass(frozen=True, slots=True)
class PlannedLater:
    """A step that could be begun now and that the plan has later.

    Attributes:
        step: as the plan has it.
        after: the steps of the touch that it comes after: of the same hands, of the same tool, or because the dust of
            one would fall on the coat of the other; empty where there is no such touch.
        then: the step of the same zone that must follow on it soon, for whose sake it is not begun sooner; else None.
    """

    step: PlannedStep
    after: tuple[PlannedStep, ...] = ()
    then: PlannedStep | None = None


class PlannedSteps:
    """The steps of a work order by their zones; made once for each order, asked while a page is painted."""

    def __init__(self, order: WorkOrder, state: BayState) -> None:
        self._state, self._made_for = state, order.made_for
        self._of: dict[tuple[JobId, ZoneId], list[PlannedStep]] = {}
        self._touches: dict[int, list[PlannedStep]] = {}
        for step in () if order.stuck else order.steps:  # those of a plan that does not hold yet are no promise
            if not _stands(step, state):
                continue
            self._of.setdefault((step.job, step.zone), []).append(step)
            self._touches.setdefault(step.touch, []).append(step)
        self._lasts = sorted((max(steps, key=_ends) for steps in self._touches.values()), key=_ends)
        self._found: dict[tuple[JobId, ZoneId], PlannedLater | None] = {}

    def later(self, job: JobId, zone: ZoneId, step: StepId, state: BayState, at: datetime) -> PlannedLater | None:
        """Return how the plan holds back what comes next on a zone; None where it is its turn, or is not planned.

        What has been done since the plan was made is waited for no more.
        """
        key = job, zone
        if key not in self._found:
            planned = next((s for s in self._of.get(key, ()) if not s.running), None)
            self._found[key] = self._why(planned) if planned else None
        found = self._found[key]
        if found is None or found.step.step != step or found.step.start <= at + LATER:
            return None
        reasons = (*found.after, *([found.then] if found.then else []))
        if not all(_stands(s, state) for s in reasons) or all(self._is_done(s, state) for s in reasons):
            return PlannedLater(found.step)
        return found

    def _is_done(self, planned: PlannedStep, state: BayState) -> bool:
        run = state.jobs[planned.job].zones[planned.zone].last_finished(planned.step)
        return run is not None and run.finished_at is not None and run.finished_at >= self._made_for

    def _why(self, planned: PlannedStep) -> PlannedLater:
        before = [s for s in self._ends_before(planned) if s.touch != planned.touch]
        for bound in (self._same_hands, self._same_tool, self._dust_on_a_coat):
            found = next((s for s in before if bound(s, planned)), None)
            if found:
                return PlannedLater(planned, tuple(self._touches[found.touch]))
        return PlannedLater(planned, then=self._follows_soon(planned))

    def _ends_before(self, planned: PlannedStep) -> list[PlannedStep]:
        """Return the last step of each touch that ends as this one begins, the latest first."""
        first, end = (bisect_left(self._lasts, m, key=_ends) for m in (planned.start - GAP, planned.start + SECOND))
        return self._lasts[first:end][::-1]

    def _same_hands(self, before: PlannedStep, planned: PlannedStep) -> bool:
        return before.person == planned.person

    def _same_tool(self, before: PlannedStep, planned: PlannedStep) -> bool:
        tool = self._step_of(planned).tool
        return tool is not None and tool == self._step_of(before).tool

    def _dust_on_a_coat(self, before: PlannedStep, planned: PlannedStep) -> bool:
        if not self._state.share_air(before.job, planned.job):
            return False
        first, second = self._step_of(before), self._step_of(planned)
        if second.makes_dust:
            return first.kind in COVERING_KINDS
        return first.makes_dust and second.kind is StepKind.COAT

    def _follows_soon(self, planned: PlannedStep) -> PlannedStep | None:
        """Return the next step of the zone, if that has a latest moment."""
        own = self._of[planned.job, planned.zone]
        following = next(iter(own[own.index(planned) + 1 :]), None)
        return following if following and following.lapses_at else None

    def _step_of(self, planned: PlannedStep) -> Step:
        return self._state.jobs[planned.job].job.recipe_of(planned.zone).named(planned.step)


def _ends(planned: PlannedStep) -> datetime:
    return planned.end


def _stands(planned: PlannedStep, state: BayState) -> bool:
    """Whether the step is still on the ladder that it was planned for: work and recipes change while a plan is made."""
    job = state.jobs.get(planned.job)
    return job is not None and planned.zone in job.zones and job.job.recipe_of(planned.zone).has(planned.step)
