"""Writes a job's day record as PDF, CSV and JSON."""

from collections.abc import Sequence
from dataclasses import dataclass
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
from bayapp.report.facts.file_name import file_name
from bayapp.report.paper.pdf import pdf_bytes, ready_qt

CHANGES = (JobOpened, WorkAdded, RecipeSwapped, CrewChanged)
"""The events that make a job what it is; the work on its zones is the record's matter."""


@dataclass(frozen=True, slots=True)
class ReportRequest:
    """Which day record is wanted.

    Attributes:
        day: a day by the time zone ``tz``.
        at: when the record is asked for; what came later is left out.
        paper: "a4" or "letter".
    """

    job: JobId
    day: date
    at: datetime
    tz: tzinfo
    paper: str = "a4"


def write_report(events: Sequence[Event], request: ReportRequest, out_dir: Path) -> list[Path]:
    """Write ``<job>-<day>.pdf``, ``.csv`` and ``.json`` into ``out_dir``, which is made where it is missing.

    Each file appears whole or not at all, in place of an older one; nothing is written unless all three are ready.

    Raises:
        LookupError: the journal had not opened such a job by then.
        OSError: the folder cannot be written.
    """
    record = day_record(events, request.job, request.day, request.at, request.tz)
    job = _as_changed(events, request.job, request.at)
    ready_qt()
    contents = {
        "pdf": pdf_bytes(record, job, request.tz, _drawing_of(job), request.paper),
        "csv": to_csv(record).encode(),
        "json": to_json(record).encode(),
    }
    name = f"{file_name(request.job)}-{request.day.isoformat()}"
    paths = []
    for ending, content in contents.items():
        paths.append(write_whole(out_dir / f"{name}.{ending}", content))
    return paths


def _as_changed(events: Sequence[Event], job_id: JobId, at: datetime) -> Job:
    """Return the job with all that was changed in it by then."""
    changes = (e for e in events if isinstance(e, CHANGES) and e.job == job_id and e.at <= at)
    return fold(changes).jobs[job_id].job


def _drawing_of(job: Job) -> FormDrawing | None:
    """Return the vehicle's drawing; None if none fits: better a record without a picture than none."""
    try:
        return FormDrawing.of_job(job, resource("vehicles"))
    except ValueError:
        return None
