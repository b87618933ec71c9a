"""The drawings of the cars in the bay, each made once."""

import logging
from collections.abc import Collection

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job import Job
from bayapp.job.model.ids import JobId
from bayapp.paths import resource

LOG = logging.getLogger("bayapp")


class Drawings:
    """Keeps the drawing of each car that has been shown, until it leaves; two forms may have the same name."""

    def __init__(self) -> None:
        self._drawings: dict[JobId, FormDrawing] = {}

    @property
    def kept(self) -> tuple[JobId, ...]:
        """The jobs whose drawings are kept."""
        return tuple(self._drawings)

    def of(self, job: JobId | None, inside: Collection[Job]) -> FormDrawing | None:
        """Return the drawing of a job; None if it cannot be drawn: clocks and steps work without it."""
        jobs = {one.id: one for one in inside}
        self._drawings = {one: drawing for one, drawing in self._drawings.items() if one in jobs}
        if job in jobs and job not in self._drawings:
            try:
                self._drawings[job] = FormDrawing.of_job(jobs[job], resource("vehicles"))
            except ValueError as trouble:
                LOG.error("the car cannot be drawn: %s", trouble)
        return self._drawings.get(job) if job else None
