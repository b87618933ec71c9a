"""Deviations: what the gate refused and a person did all the same, with the gate's reason in the shop's time zone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from itertools import groupby

from bayapp.job.gate.fold import fold
from bayapp.job.gate.gate import gate
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import Deviation, Event, JobClosed, JobReopened, StepStarted, StepUndone
from bayapp.job.state.requests import Start
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import step_title
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal, one_a_rule
from bayapp.report.facts.day_record import DeviationRecord
from bayapp.report.facts.work_history import Undoing


def deviation_records(
    events: Sequence[Event], job: JobId, undoings: Sequence[Undoing], tz: tzinfo
) -> tuple[DeviationRecord, ...]:
    """Return every deviation of a job in the order of the journal, those taken back included."""
    places = [place for place, event in enumerate(events) if _deviation_of(event, job)]
    if not places:
        return ()
    last = places[-1]
    gone = _gone_by(events[: places[0]])
    known = [event for event in events[: last + 1] if event.job is None or event.job not in gone]
    undone = {id(act): undoing.undo for undoing in undoings for act in undoing.acts}
    records: list[DeviationRecord] = []
    state = BayState()
    for _, group in groupby(enumerate(known), key=_touch):
        touched = [event for _, event in group]
        starts = [e for e in touched if isinstance(e, StepStarted) and _deviation_of(e, job)]
        if starts:
            words = _GateWords(state, job, _refusals(state, job, starts), tz)
            records += [_record(words, e, d, undone.get(id(e))) for e in starts if (d := e.deviation)]
        state = fold(touched, state)
    return tuple(records)


def _gone_by(events: Sequence[Event]) -> set[JobId | None]:
    """Return the cars that left and did not come back."""
    last_word = {e.job: e for e in events if isinstance(e, JobClosed | JobReopened)}
    return {job for job, event in last_word.items() if isinstance(event, JobClosed)}


def _deviation_of(event: Event, job: JobId) -> Deviation | None:
    return event.deviation if isinstance(event, StepStarted) and event.job == job else None


def _touch(numbered: tuple[int, Event]) -> str | int:
    """Starts of one touch belong together; every other event stands alone."""
    place, event = numbered
    return event.touch if isinstance(event, StepStarted) and event.touch else place


def _refusals(before: BayState, job: JobId, starts: Sequence[StepStarted]) -> tuple[Refusal, ...]:
    """Ask the gate once more: the sentence in the journal gives times of day in UTC."""
    first = starts[0]
    request = Start(job, tuple(start.zone for start in starts), first.step, first.by)
    return gate(before, request, first.at).refusals


@dataclass(frozen=True, slots=True)
class _GateWords:
    """Why the gate refused the starts of one touch, in the shop's time of day."""

    before: BayState
    job: JobId
    refusals: Sequence[Refusal]
    tz: tzinfo

    def of(self, start: StepStarted, deviation: Deviation) -> str:
        """Return the refusals that were overridden, this zone's own if it has one; else the journal's own words."""
        own = [refusal for refusal in self.refusals if refusal.zone == start.zone]
        left = list(one_a_rule([*own, *self.refusals]))
        said = []
        for rule in deviation.rules:
            found = next((refusal for refusal in left if refusal.code is rule.code), None)
            if found is not None:
                left.remove(found)
            said.append((why_not(found, self.before, self.tz) if found else "") or rule.why)
        return " ".join(said)


def _record(words: _GateWords, start: StepStarted, deviation: Deviation, undo: StepUndone | None) -> DeviationRecord:
    job = words.before.jobs[words.job].job
    return DeviationRecord(
        zone=start.zone,
        zone_name=job.zone_names.get(start.zone, start.zone),
        step=start.step,
        title=step_title(job.recipe_of(start.zone), start.step),
        at=start.at,
        by=start.by,
        codes=tuple(rule.code for rule in deviation.rules),
        said=words.of(start, deviation),
        reason=deviation.reason,
        taken_back_at=undo.at if undo else None,
    )
