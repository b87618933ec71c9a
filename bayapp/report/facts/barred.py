"""Why the next step of a zone may not begin, for reasons of the bay: what the screen would say at that moment."""

from collections.abc import Callable, Sequence
from datetime import datetime, tzinfo

from bayapp.job.clocks import ZoneClock
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.fold import fold
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import Code, JobId
from bayapp.job.state.events import Event, JobClosed, JobOpened, JobReopened
from bayapp.job.state.requests import Start
from bayapp.job.text.sentences import all_why_not

Barred = Callable[[ZoneClock], str]


def barred_by_the_bay(known: Sequence[Event], job: JobId, at: datetime, tz: tzinfo) -> Barred:
    """Return what tells of a zone's clock why its next step may not begin now; empty where the bay does not forbid it.

    The other cars count that are inside at the end of ``known``.
    """
    inside: set[JobId | None] = {None, job}
    for event in known:
        if isinstance(event, JobOpened):
            inside.add(event.opened.id)
        elif isinstance(event, JobReopened):
            inside.add(event.job)
        elif isinstance(event, JobClosed) and event.job != job:
            inside.discard(event.job)
    facts = BayFacts(fold(event for event in known if event.job in inside or _opens(event, inside)), at)

    def barred(clock: ZoneClock) -> str:
        if clock.step is None or clock.running or clock.out:
            return ""
        refusals = judge(Start(job, (clock.zone,), clock.step), facts).refusals
        return all_why_not((r for r in refusals if r.code is Code.BAY and not r.asks), facts.state, tz)

    return barred


def _opens(event: Event, inside: set[JobId | None]) -> bool:
    return isinstance(event, JobOpened) and event.opened.id in inside
