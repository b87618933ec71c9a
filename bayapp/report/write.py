"""Writes a job's day record as PDF, CSV and JSON."""

import re
from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from pathlib import Path

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.files.atomic_write import write_whole
from bayapp.job.gate.fold import fold
from bayapp.job.model.ids import JobId
from bayapp.job.model.job import Job
from bayapp.job.state.events import CrewChanged, Event, JobOpened, RecipeSwapped, WorkAdded
from bayapp.paths import resource
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.content import day_record
from bayapp.report.paper.pdf import pdf_bytes, ready_qt

CHANGES = (JobOpened, WorkAdded, RecipeSwapped, CrewChanged)
"""What makes a job what it is; what was done on its zones is left to the record."""


def write_report(
    events: Sequence[Event],
    job_id: JobId,
    day: date,
    out_dir: Path,
    tz: tzinfo,
    at: datetime,
    paper: str = "a4",
) -> list[Path]:
    """Write ``<job>-<day>.pdf``, ``.csv`` and ``.json`` into ``out_dir``, which is made where it is missing.

    Each file appears whole or not at all, in place of an older one; nothing is written unless all three are ready.

    Args:
        paper: "a4" or "letter".

    Raises:
        LookupError: the journal had not opened such a job by then.
        OSError: the folder cannot be written.
    """
    record = day_record(events, job_id, day, at, tz)
    job = _as_changed(events, job_id, at)
    ready_qt()
    contents = {
        "pdf": pdf_bytes(record, job, tz, _drawing_of(job), paper),
        "csv": to_csv(record).encode(),
        "json": to_json(record).encode(),
    }
    name = f"{file_name(job_id)}-{day.isoformat()}"
    paths = []
    for ending, content in contents.items():
        paths.append(write_whole(out_dir / f"{name}.{ending}", content))
    return paths


def _as_changed(events: Sequence[Event], job_id: JobId, at: datetime) -> Job:
    """Return the job with all that was changed in it by then."""
    changes = (e for e in events if isinstance(e, CHANGES) and e.job == job_id and e.at <= at)
    return fold(changes).jobs[job_id].job


def file_name(job_id: JobId) -> str:
    """Return a job's id as a part of a file name that no file system takes for more than that."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", job_id).strip("-") or "job"


def _drawing_of(job: Job) -> FormDrawing | None:
    """Return the vehicle's drawing; None where there is none that fits: the record is worth more than the picture."""
    try:
        return FormDrawing.of_job(job, resource("vehicles"))
    except ValueError:
        return None
