"""What the marks of a zone forbid, as reasons of the gate."""

from collections.abc import Mapping
from datetime import datetime

from bayapp.job.grounds import Marked, MarkWhy, Why
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.model.mark import MarkKind
from bayapp.job.state.state import JobState
from bayapp.job.verdict import Refusal
from bayapp.job.waits.bans import Ban, bans

_WHY: Mapping[MarkKind, MarkWhy] = {
    MarkKind.MATT: Why.MATT,
    MarkKind.FILM: Why.FILM,
    MarkKind.REPAINTED: Why.FRESH_REPAINT,
    MarkKind.LEAVE: Why.LEAVE_ALONE,
    MarkKind.SENSOR: Why.SENSOR,
}


def against_marks(job: JobState, zone: ZoneId, step: StepId, at: datetime) -> list[Refusal]:
    """Return what the marks of a zone have against a step of its ladder, by any mark that is set by then."""
    found = bans(job, zone, job.job.recipe_of(zone).named(step), at) if zone in job.marks else ()
    return [forbidden_by(ban, job, zone) for ban in found]


def forbidden_by(ban: Ban, job: JobState, zone: ZoneId) -> Refusal:
    """Return a mark's ban on a step of a zone as a refusal."""
    mark, recipe = ban.mark, job.job.recipe_of(zone)
    grounds = Marked(_WHY[mark.kind], mark.note, mark.date, ban.days, recipe.title or recipe.name)
    return Refusal(Code.MARK, grounds, job.job.id, zone, ban.step, ban.until)
