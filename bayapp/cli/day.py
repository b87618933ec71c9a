"""A job and what has happened to it so far, from the files that ``plan`` and ``picture`` are given."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bayapp.cli.trouble import complain
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.job import Event, Job


def read_day(job: Path, events: Path | None, until: datetime | None) -> tuple["Job", Sequence["Event"]]:
    """Return the job and what is recorded of it up to an instant; what the gate refuses is named and left out.

    Raises:
        BadFile: the job or a line of the events, a later one too, is not right.
    """
    from bayapp.cli.outcomes import opening, run
    from bayapp.files.event_lines import read_event_lines
    from bayapp.files.library import Library

    loaded = Library().load_job(job)
    asked = [] if events is None else read_event_lines(events, loaded)
    asked = [a for a in asked if until is None or a.at <= until]
    opened = opening(loaded, asked)
    recorded: list[Event] = [opened if until is None or opened.at <= until else opened.model_copy(update={"at": until})]
    for outcome in run(loaded, asked):
        recorded += outcome.events
        if outcome.why and not outcome.accepted:
            complain(
                _("{events}: line {line}: left out: {why}").format(events=events, line=outcome.line, why=outcome.why)
            )
    return loaded, recorded
