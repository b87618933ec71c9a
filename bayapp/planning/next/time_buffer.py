"""Time buffers: what may come too late if work lasts longer than expected, and how long to rest to prevent that."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cached_property

from bayapp.job import BayState, Start
from bayapp.job.model.ids import JobId, StepKind, ZoneId
from bayapp.job.model.recipe import Step
from bayapp.planning.core.work_order import Loss, PlannedStep
from bayapp.planning.from_bay.scatter import SLOW
from bayapp.planning.next.look_ahead import BayLookAhead

MINUTE = timedelta(minutes=1)
LONGEST_REST = timedelta(minutes=30)


class TimeBuffer:
    """The time that a step must leave for others, because it may take ``SLOW`` times as long as expected.

    Beside what runs in the bay it knows of the dust that the work order has next: no coat is laid while dust flies, so
    what is made ready for a coat too soon before that must be made ready again.
    """

    def __init__(self, state: BayState, steps: Sequence[PlannedStep], look_ahead: BayLookAhead, at: datetime) -> None:
        self._state, self._steps, self._look_ahead, self._at = state, steps, look_ahead, at

    def risks(self, start: Start, takes: timedelta, later: timedelta = timedelta()) -> tuple[Loss, ...]:
        """Return the windows that may be missed if this is begun now, or later, and would not be if it were not."""
        return self._look_ahead.risked(start, takes, later, self._quiet_from)

    def part_of(self, start: Start, takes: timedelta) -> Start | None:
        """Return the same step on as many of its zones as may be begun without a risk; None where there are none."""
        for number in range(len(start.zones) - 1, 0, -1):
            fewer = replace(start, zones=start.zones[:number])
            if not self.risks(fewer, takes * number / len(start.zones)):
                return fewer
        return None

    def rest(self, start: Start, takes: timedelta) -> timedelta | None:
        """Return how long to wait with a step that only opens windows; None if waiting helps nobody.

        That is until it is no risk, or where that is not foreseen a minute at a time, as long as anything goes on.
        """
        rests = (MINUTE * minutes for minutes in range(1, LONGEST_REST // MINUTE + 1))
        foreseen = next((rest for rest in rests if not self.risks(start, takes, rest)), None)
        return foreseen or (MINUTE if self._look_ahead.busy_until(self._at + LONGEST_REST) else None)

    @cached_property
    def _quiet_from(self) -> Mapping[tuple[JobId, ZoneId], datetime]:
        """From when a zone's next coat can be laid, as the order has dust before it that may fly for long."""
        dusts = [s for s in self._steps if self._step_of(s).makes_dust]
        dusty = [(s.job, s.start, max(s.start, self._at) + self._length(s) * SLOW) for s in dusts]
        found: dict[tuple[JobId, ZoneId], datetime] = {}
        for step in self._steps if dusty else ():
            if self._step_of(step).kind is StepKind.COAT:
                near = self._state.share_air
                ends = [end for job, start, end in dusty if start < step.start and near(JobId(job), JobId(step.job))]
                found.setdefault((step.job, step.zone), max(ends, default=self._at))
        return found

    def _step_of(self, step: PlannedStep) -> Step:
        return self._state.jobs[step.job].job.recipe_of(step.zone).named(step.step)

    def _length(self, step: PlannedStep) -> timedelta:
        return sum((s.end - s.start for s in self._steps if s.touch == step.touch), timedelta())
