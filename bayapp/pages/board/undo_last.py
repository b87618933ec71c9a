"""What "undo" without a zone takes back: the last touch of whoever works at the car."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import Undo
from bayapp.job.model.ids import Person, ZoneId
from bayapp.job.state.state import BayState, JobState, StepRun
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.pages.board.correction import latest_run, undoes_correction
from bayapp.text.figures import clock_time
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class LastTouch:
    """The request for an undo, and what it takes back in words."""

    request: Undo
    text: str


def last_touch(state: BayState, by: Person | None, tz: tzinfo) -> LastTouch | None:
    """Return the last start or finish of a person at any car in the bay; None if there is nothing to undo.

    Zones that were touched together are undone together.
    """
    found = [one for job in state.open_jobs for one in _touched(job, by)]
    if not found:
        return None
    job, lead, run = max(found, key=lambda one: _moment(one[2]))
    zones = tuple(zone for other, zone, its in found if other is job and _together(run, its))
    step = step_title(job.job.recipe_of(lead), run.step)
    if undoes_correction(job.zones[lead]):
        text = _("{zones}: the corrected time of {step}")
    elif run.finished_at:
        text = _("{zones}: {step}, done at {time}")
    else:
        text = _("{zones}: {step}, begun at {time}")
    text = text.format(zones=capital(zones_title(job.job, zones)), step=step, time=clock_time(_moment(run), tz, False))
    return LastTouch(Undo(job.job.id, zones, by), text)


def _touched(job: JobState, by: Person | None) -> list[tuple[JobState, ZoneId, StepRun]]:
    return [
        (job, zone, run)
        for zone, state in job.zones.items()
        if zone not in job.aside and state.before is not None and (run := latest_run(state)) and _whose(run) == by
    ]


def _whose(run: StepRun) -> Person | None:
    return run.finished_by or run.by if run.finished_at else run.by


def _moment(run: StepRun) -> datetime:
    return run.finished_at or run.started_at


def _together(one: StepRun, other: StepRun) -> bool:
    return (one.step, one.started_at, one.finished_at) == (other.step, other.started_at, other.finished_at)
