"""The bay that is to be planned: a job as it is written, or with what has happened to it."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from bayapp.cli.day import read_day
from bayapp.cli.trouble import bad_input
from bayapp.job import BayState, Job, SetAside, fold, gate, why_not
from bayapp.job.model.ids import Code, ZoneId
from bayapp.job.state.events import JobOpened
from bayapp.text.language import _


def bay_of(
    file: Path, events: Path | None, until: datetime | None, without: Sequence[str]
) -> tuple[BayState, datetime]:
    """Return the bay, and from when on it is to be planned: ``until``, else the last event, else the job's start.

    Before anything has happened, the job is planned as if the zones of ``without`` were not in it; afterwards they are
    set aside: what lies on them still keeps dust and water away.
    """
    job, recorded = read_day(file, events, until)
    if events is None:
        at, left = until or job.start, left_of(job, without)
        return fold((JobOpened(at=at, job=job.id, opened=left),)), at
    at = until or max(event.at for event in recorded)
    return _set_aside(fold(recorded), job, sorted(_zones(job, without)), at), at


def _set_aside(state: BayState, job: Job, zones: Sequence[ZoneId], at: datetime) -> BayState:
    """Set zones aside that are not done already; one that is being worked ends the command."""
    for zone in zones:
        verdict = gate(state, SetAside(job.id, (zone,), _("left out of the plan")), at)
        state = fold(verdict.events, state)
        if verdict.refusal and verdict.refusal.code is not Code.DONE:
            raise bad_input(f"--without: {why_not(verdict.refusal, state)}")
    return state


def left_of(job: Job, without: Sequence[str]) -> Job:
    """Return the job without the zones that these ids and set names stand for; a wrong name ends the command."""
    gone = _zones(job, without)
    if not gone:
        return job
    blocks = [
        block.model_copy(update={"zones": left})
        for block in job.blocks
        if (left := tuple(zone for zone in block.zones if zone not in gone))
    ]
    if not blocks:
        raise bad_input(_("--without: nothing is left to plan."))
    written = {name: getattr(job, name) for name in Job.model_fields}  # and not what was worked out from it
    return Job.model_validate({**written, "blocks": blocks})


def _zones(job: Job, names: Sequence[str]) -> set[ZoneId]:
    """Return the zones that these ids and set names stand for; a wrong name ends the command."""
    found: set[ZoneId] = set()
    for name in names:
        zones = job.zones_named(name)
        if not zones:
            known = ", ".join([*(s for s in job.vehicle.sets if job.zones_named(s)), *job.block_of])
            raise bad_input(
                _("--without: nothing called {name!r} is worked in this job; it has {known}.").format(
                    name=name, known=known
                )
            )
        found.update(zones)
    return found
