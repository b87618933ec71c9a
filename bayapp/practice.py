"""The practice car: an invented day up to the moment the board opens. Knows no screen, no store and no clock."""

from datetime import datetime

from bayapp.files.event_lines import read_event_lines
from bayapp.files.library import Library
from bayapp.job import Job, Request
from bayapp.job.instant import to_millisecond
from bayapp.paths import resource

PRACTICE_ID = "practice-estate"


def practice_scenario(opening: datetime) -> tuple[Job, list[tuple[datetime, Request]]]:
    """Return the practice job and all that was asked before the board opens, oldest first, each with its instant.

    The job starts the day before, at its ``start``; the last request falls on ``opening``, to the millisecond.
    """
    written = Library().load_job(resource("practice", "practice-job.toml"), PRACTICE_ID)
    asked = read_event_lines(resource("practice", "practice-events.jsonl"), written)
    shift = to_millisecond(opening) - asked[-1].at
    job = written.model_copy(update={"start": written.start + shift})
    return job, [(line.at + shift, line.request) for line in asked]
