"""What a clash means in the words of the job. Knows no solver."""

from datetime import timedelta, tzinfo

from bayapp.job.language import _
from bayapp.job.naming import capital, clock_time, left_text, step_title
from bayapp.job.state import BayState
from bayapp.job.words import StepId
from bayapp.planning.from_job import Work
from bayapp.planning.problem import Lag, Task


def clash_sentences(work: Work, state: BayState, clash: tuple[Task | Lag, ...], tz: tzinfo) -> tuple[str, ...]:
    """Return a sentence for each wait that cannot hold together with the others."""
    told = [_deadline(work, state, c, tz) if isinstance(c, Task) else _wait(work, state, c) for c in clash]
    return tuple(capital(sentence) for sentence in told)


def step_of_zone(work: Work, state: BayState, task: str) -> str:
    """Return what a person calls a task: "coat 2 of 3 of the windscreen"."""
    rung = work.rung_of[task]
    job = state.jobs[rung.job].job
    step = step_title(job.recipe_of(rung.zone), StepId(rung.step.id))
    return _("{step} ({zone})").format(step=step, zone=job.zone_names[rung.zone])


def _deadline(work: Work, state: BayState, task: Task, tz: tzinfo) -> str:
    told = _("{step} must start by {time}")
    time = clock_time(work.moment(task.latest_s or 0), tz)
    return told.format(step=step_of_zone(work, state, task.id), time=time)


def _wait(work: Work, state: BayState, lag: Lag) -> str:
    then = step_of_zone(work, state, lag.then)
    lasts = {last.id: last for last in work.problem.lasts}
    if lag.first in lasts:
        first = _("the last of {count} zones").format(count=len(lasts[lag.first].tasks))
    else:
        first = step_of_zone(work, state, lag.first)
    if lag.max_s is None:
        return _("{then} must start at least {least} after {first}").format(
            then=then, least=_length(lag.min_s), first=first
        )
    return _("{then} must start {least} to {most} after {first}").format(
        then=then, least=_length(lag.min_s), most=_length(lag.max_s), first=first
    )


def _length(seconds: int) -> str:
    return left_text(timedelta(seconds=seconds))
