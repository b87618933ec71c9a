"""The large words of a button that begins or ends a step: the other car first, then the act, the step, and who."""

from dataclasses import dataclass
from enum import StrEnum

from bayapp.job import BayState, Job
from bayapp.job.model.ids import JobId, Person
from bayapp.text.language import _


class Act(StrEnum):
    """What a button does: it begins a step at a touch, or only when it is held, or ends one."""

    BEGIN = "begin"
    HOLD = "hold"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Titles:
    """The words of a button, and those that it has where it stands second."""

    first: str
    second: str


def titles(act: Act, what: str, car: str = "") -> Titles:
    """Return the words of a button for a step and its zones; ``car`` is named first where it is not the one shown."""
    if car:
        first = {
            Act.BEGIN: _("{car}, begin: {what}"),
            Act.HOLD: _("{car}, hold 2 s: {what}"),
            Act.DONE: _("{car}, done: {what}"),
        }[act].format(car=car, what=what)
        return Titles(first, _("Or {first}").format(first=first))
    first, second = {
        Act.BEGIN: (_("Begin: {what}"), _("Or begin: {what}")),
        Act.HOLD: (_("Hold 2 s: {what}"), _("Or hold 2 s: {what}")),
        Act.DONE: (_("Done: {what}"), _("Or done: {what}")),
    }[act]
    return Titles(first.format(what=what), second.format(what=what))


def with_name(words: str, job: Job, by: Person | None) -> str:
    """Return words with the name of who does it, where several work at the car."""
    return _("{words} ({by})").format(words=words, by=by) if by and len(job.crew) > 1 else words


def other_car(state: BayState, job: Job, shown: JobId | None) -> str:
    """Return number and name of a car, as the line at the top has them, where another is shown; else nothing."""
    inside = [inside.job.id for inside in state.open_jobs]
    if job.id == shown or len(inside) < 2:
        return ""
    return f"{inside.index(job.id) + 1} {job.plate or job.title}"
