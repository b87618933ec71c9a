"""What the gate had said to each step a person carried on with, in the shop's own time."""

from collections.abc import Sequence
from datetime import tzinfo
from itertools import groupby

from bayapp.job.gate.fold import fold
from bayapp.job.gate.gate import gate
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import Event, JobClosed, StepStarted, StepUndone
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import step_title
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal
from bayapp.report.facts.day_record import DeviationTold
from bayapp.report.facts.standing_work import Undoing


def deviations_told(
    events: Sequence[Event], job: JobId, undoings: Sequence[Undoing], tz: tzinfo
) -> tuple[DeviationTold, ...]:
    """Return every deviation of a job in the order of the journal, those taken back included."""
    told_at = [place for place, event in enumerate(events) if _deviates(event, job)]
    if not told_at:
        return ()
    first, last = events[told_at[0]], told_at[-1]
    gone = {e.job for e in events if isinstance(e, JobClosed) and e.at <= first.at}
    known = [event for event in events[: last + 1] if event.job is None or event.job not in gone]
    undone = {id(act): undoing.undo for undoing in undoings for act in undoing.acts}
    told: list[DeviationTold] = []
    state = BayState()
    for _, group in groupby(enumerate(known), key=_touch):
        touched = [event for _, event in group]
        starts = [e for e in touched if isinstance(e, StepStarted) and _deviates(e, job)]
        refusals = _asked_again(state, starts) if starts else ()
        told += [_told(state, start, refusals, undone.get(id(start)), tz) for start in starts]
        state = fold(touched, state)
    return tuple(told)


def _deviates(event: Event, job: JobId) -> bool:
    return isinstance(event, StepStarted) and event.job == job and event.deviation is not None


def _touch(numbered: tuple[int, Event]) -> str | int:
    """Starts of one touch belong together; every other event stands alone."""
    place, event = numbered
    return event.touch if isinstance(event, StepStarted) and event.touch else place


def _asked_again(before: BayState, starts: Sequence[StepStarted]) -> tuple[Refusal, ...]:
    """Ask the gate once more: the recorded sentence names times of day in UTC."""
    first = starts[0]
    assert first.job
    request = Start(first.job, tuple(start.zone for start in starts), first.step, first.by)
    return gate(before, request, first.at, before.air).refusals


def _told(
    before: BayState, start: StepStarted, refusals: Sequence[Refusal], undo: StepUndone | None, tz: tzinfo
) -> DeviationTold:
    deviation = start.deviation
    assert start.job
    assert deviation
    job = before.jobs[start.job].job
    return DeviationTold(
        zone=start.zone,
        zone_name=job.zone_names.get(start.zone, start.zone),
        step=start.step,
        title=step_title(job.recipe_of(start.zone), start.step),
        at=start.at,
        by=start.by,
        code=deviation.code,
        said=_said(before, start, refusals, tz) or deviation.why,
        reason=deviation.reason,
        taken_back_at=undo.at if undo else None,
    )


def _said(before: BayState, start: StepStarted, refusals: Sequence[Refusal], tz: tzinfo) -> str | None:
    """Say the refusal that was carried through, this zone's own where it has one; None when the gate knows none."""
    assert start.deviation
    same = [refusal for refusal in refusals if refusal.code is start.deviation.code]
    own = [refusal for refusal in same if refusal.zone == start.zone]
    return why_not((own or same)[0], before, tz) if same else None
