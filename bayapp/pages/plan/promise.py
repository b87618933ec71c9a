"""Whether a car will be ready as promised, by the newest plan.

The finish of a plan is the end of its last step, 12-hour waits included; drying and curing come after it. A promise is
held against the moment at which the last zone is dry and fit to drive, where the plan knows every step that is left.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from bayapp.job.clocks import handover_at
from bayapp.job.gate.setting_aside import awaited
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.state import BayState, JobState
from bayapp.job.waits.cure import cure_of
from bayapp.planning.core.work_order import PlannedStep, WorkOrder
from bayapp.text.figures import length_text, moment_text
from bayapp.text.language import _

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Promise:
    """A promise that will not, or only just, be kept.

    Attributes:
        sentence: the whole of it.
        short: for the line at the top, beside the car's name.
        shortest: the same if several cars share that line.
    """

    sentence: str
    short: str
    shortest: str


def broken_promises(state: BayState, order: WorkOrder | None, at: datetime, tz: tzinfo) -> dict[JobId, Promise]:
    """Return the promises that are at risk, of the cars inside, in the order of arrival."""
    found = {job.job.id: broken_promise(job, order, at, tz) for job in state.open_jobs}
    return {job: promise for job, promise in found.items() if promise}


def broken_promise(state: JobState, order: WorkOrder | None, at: datetime, tz: tzinfo) -> Promise | None:
    """Return a car's promise if it is at risk; None if it holds, none was given, or the car is ready.

    A car is ready when the last of its zones is done, dry and fit to drive. Where the plan does not know all that is
    left, nothing is said before the promise has passed.
    """
    promised, handover = state.job.promised, handover_at(state)
    if promised is None or (handover and handover <= at):
        return None
    said = moment_text(promised, at, tz)
    ready, late_ready = (handover, None) if handover else ready_by(state, order, at)
    if ready is None:
        if at <= promised:
            return None
        sentence = _("Promised for {promised}, and it is not known when it will be ready.").format(promised=said)
        return Promise(sentence, _("promised {promised}").format(promised=said), _not_by(said))
    shown = _shown(ready)
    if shown > promised:
        facts = {"promised": said, "ready": moment_text(shown, at, tz), "late": length_text(shown - promised)}
        sentence = _("Promised for {promised}, but it will not be ready before {ready}: {late} late.").format(**facts)
        return Promise(sentence, _("promised {promised}, ready {ready}").format(**facts), _not_by(said))
    if late_ready and _shown(late_ready) > promised:
        sentence = _("Promised for {promised}: on a slow day it will not be ready before {late}.").format(
            promised=said, late=moment_text(_shown(late_ready), at, tz)
        )
        short = _("hardly by {promised}").format(promised=said)
        return Promise(sentence, short, short)
    return None


def ready_by(state: JobState, order: WorkOrder | None, at: datetime) -> tuple[datetime | None, datetime | None]:
    """Return when a car will be ready by a plan, and by when on a slow day if the plan knows that.

    None if the plan does not have every step that is left: it was made before the job was changed, or a zone with a
    coat on it is set aside.
    """
    if order is None:
        return None, None
    planned = _planned(order, state.job.id)
    ends: dict[ZoneId, datetime] = {}
    for zone in awaited(state):
        cure, ahead = cure_of(state, zone), planned.get(zone, ())
        if cure is None and not _left(state, zone) <= {step.step for step in ahead}:
            return None, None
        ends[zone] = cure.finished_at if cure else max(at, *(step.end for step in ahead))
    ready = {zone: end + state.job.recipe_of(zone).finish.duration for zone, end in ends.items()}
    last = max(ready, key=lambda zone: ready[zone], default=None)
    if last is None:
        return None, None
    late_finish = order.finish_p90 if ends[last] == order.finish else None
    return ready[last], late_finish + state.job.recipe_of(last).finish.duration if late_finish else None


def _left(state: JobState, zone: ZoneId) -> set[StepId]:
    done = {run.step for run in state.zones[zone].rungs}
    return {StepId(step.id) for step in state.job.recipe_of(zone).step} - done


def _planned(order: WorkOrder, job: JobId) -> dict[ZoneId, list[PlannedStep]]:
    found: dict[ZoneId, list[PlannedStep]] = {}
    for step in order.steps:
        if step.job == job:
            found.setdefault(step.zone, []).append(step)
    return found


def _shown(moment: datetime) -> datetime:
    """Return a moment rounded up to whole minutes, as it is shown."""
    whole = moment.replace(second=0, microsecond=0)
    return whole if whole == moment else whole + MINUTE


def _not_by(promised: str) -> str:
    return _("not by {promised}").format(promised=promised)
