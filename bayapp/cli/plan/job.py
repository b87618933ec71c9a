"""What of a job is to be planned."""

from collections.abc import Sequence

from bayapp.cli.trouble import bad_input
from bayapp.job import Job
from bayapp.job.model.ids import ZoneId
from bayapp.text.language import _


def left_of(job: Job, without: Sequence[str]) -> Job:
    """Return the job without the zones that these ids and set names stand for; a wrong name ends the command."""
    gone: set[ZoneId] = set()
    for name in without:
        zones = job.zones_named(name)
        if not zones:
            known = ", ".join([*(s for s in job.vehicle.sets if job.zones_named(s)), *job.block_of])
            raise bad_input(
                _("--without: nothing called {name!r} is worked in this job; it has {known}.").format(
                    name=name, known=known
                )
            )
        gone.update(zones)
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
