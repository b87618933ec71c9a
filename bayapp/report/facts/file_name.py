"""What the files of a record are called."""

import re

from bayapp.job.model.ids import JobId


def file_name(job_id: JobId) -> str:
    """Return a job's id as a part of a file name that is safe on every file system."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", job_id).strip("-") or "job"
