"""Runs lines of events through the gate, one after the other."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from bayapp.files.event_lines import NumberedRequest, opened_at
from bayapp.job import (
    BayState,
    CloseSet,
    Cover,
    Event,
    FinishStep,
    Job,
    Request,
    Start,
    Uncover,
    Undo,
    Verdict,
    all_why_not,
    fold,
    gate,
)
from bayapp.job.model.ids import Code
from bayapp.job.state.events import JobOpened, StepStarted
from bayapp.job.waits.ladder_position import ladder_position
from bayapp.job.waits.waits import NotBegun, Window


@dataclass(frozen=True, slots=True)
class Outcome:
    """The gate's answer to one line.

    Attributes:
        opens_at, lapses_at: for a start, the window of its step; for anything else that was accepted, the
            window of the step that comes next on its zones; for a refusal, from when and until when it would
            be right. None where nothing waits or the wait has not begun.
        why: the sentences of all rules that forbid it, also of those that a deviation overrode.
        events: what is recorded; empty when refused.
    """

    line: int
    code: Code | None
    opens_at: datetime | None
    lapses_at: datetime | None
    why: str | None
    events: tuple[Event, ...]

    @property
    def accepted(self) -> bool:
        """Whether the gate let it through."""
        return self.code is None


def opening(job: Job, asked: Sequence[NumberedRequest]) -> JobOpened:
    """Return the event that takes the car in: at its start, or at the first line where that came before."""
    return JobOpened(at=opened_at(job, asked), job=job.id, opened=job)


def run(job: Job, asked: Sequence[NumberedRequest]) -> Iterator[Outcome]:
    """Yield the gate's answer to each line, each judged on what the lines before it left behind."""
    state = fold((opening(job, asked),))
    for line in asked:
        verdict = gate(state, line.request, line.at)
        after = fold(verdict.events, state)
        yield _outcome(line, verdict, state, after)
        state = after


def _outcome(line: NumberedRequest, verdict: Verdict, before: BayState, after: BayState) -> Outcome:
    judged: tuple[Window | NotBegun, ...] = tuple(verdict.windows.values())
    if verdict.refusal:
        right_from = [r.right_from for r in verdict.refusals if r.right_from]
        opens = max(right_from, default=_opens(judged))
        return Outcome(
            line.line, verdict.refusal.code, opens, _lapses(judged), all_why_not(verdict.refusals, before), ()
        )
    if not isinstance(line.request, Start):
        judged = _next_windows(line.request, after, after.last_at or line.at)
    return Outcome(line.line, None, _opens(judged), _lapses(judged), _carried_through(verdict), verdict.events)


def _next_windows(request: Request, state: BayState, at: datetime) -> tuple[Window | NotBegun, ...]:
    """Return the waits of the steps that come next on the zones of an accepted request."""
    if not isinstance(request, FinishStep | Undo | Cover | Uncover | CloseSet):
        return ()
    job = state.jobs[request.job]
    idle = [zone for zone in request.zones if not job.zones[zone].running]
    windows = (ladder_position(job, zone, at).window for zone in idle)
    return tuple(window for window in windows if window)


def _opens(windows: Sequence[Window | NotBegun]) -> datetime | None:
    """Return when the last of the zones opens; None while one of them waits for work or air that is not there yet."""
    opens = [window.opens_at if isinstance(window, Window) else None for window in windows]
    known = [moment for moment in opens if moment]
    return max(known, default=None) if len(known) == len(opens) else None


def _lapses(windows: Iterable[Window | NotBegun]) -> datetime | None:
    """Return when the first of the zones lapses."""
    return min((w.lapses_at for w in windows if isinstance(w, Window) and w.lapses_at), default=None)


def _carried_through(verdict: Verdict) -> str | None:
    deviations = (e.deviation for e in verdict.events if isinstance(e, StepStarted))
    return next((" ".join(rule.why for rule in d.rules) for d in deviations if d), None)
