"""What is unfinished and what is still wet on a car: told before it leaves, and of one that left."""

from collections.abc import Iterable
from datetime import datetime, tzinfo

from bayapp.job import JobState
from bayapp.job.gate.bay_facts import fresh_coat
from bayapp.job.model.ids import ZoneId
from bayapp.job.text.naming import step_title, zones_in_brief
from bayapp.job.waits.cure import Cure, cure_of
from bayapp.text.days import day_of_week, same_day
from bayapp.text.figures import clock_time, day_of_month
from bayapp.text.language import _


def unfinished_and_wet(job: JobState, at: datetime, tz: tzinfo) -> tuple[str, ...]:
    """Return what is under way, unfinished, open, to be kept dry and not to be driven: a sentence each."""
    cures = {zone: cure for zone in job.zones if (cure := cure_of(job, zone))}
    found = [_under_way(job), _unfinished(job, cures), _open_coats(job, cures, at), *_not_cured(job, cures, at, tz)]
    return tuple(sentence for sentence in found if sentence) or (_("All its work is done, and nothing on it is wet."),)


def day_of_week_and_time(moment: datetime, at: datetime, tz: tzinfo) -> str:
    """Return a time of day, with its day where that is not the day of ``at``."""
    time = clock_time(moment, tz, seconds=False)
    return time if same_day(moment, at, tz) else f"{day_of_week(moment.astimezone(tz).date())} {time}"


def _under_way(job: JobState) -> str:
    running = [(zone, state.running) for zone, state in job.zones.items() if state.running]
    if not running:
        return ""
    zone, run = running[0]
    zones = zones_in_brief(job.job, (zone for zone, _run in running))
    step = step_title(job.job.recipe_of(zone), run.step)
    return _("Under way: {zones}, {step}.").format(zones=zones, step=step)


def _unfinished(job: JobState, cures: Iterable[ZoneId]) -> str:
    done = set(cures)
    zones = [zone for zone in job.zones if zone not in done]
    if not zones:
        return ""
    if len(zones) == len(job.zones) > 1:
        return _("Not finished: none of {n} zones is done.").format(n=len(zones))
    words = _("Not finished, {n} of {all} zones: {zones}.")
    return words.format(n=len(zones), all=len(job.zones), zones=zones_in_brief(job.job, zones))


def _open_coats(job: JobState, cures: Iterable[ZoneId], at: datetime) -> str:
    done = set(cures)
    zones = [zone for zone in job.zones if zone not in done and fresh_coat(job, zone, at)]
    return (
        _("A coat lies open on {zones}: neither water nor dust.").format(zones=zones_in_brief(job.job, zones))
        if zones
        else ""
    )


def _not_cured(job: JobState, cures: dict[ZoneId, Cure], at: datetime, tz: tzinfo) -> list[str]:
    """Return until when what is to be kept dry, and from when the car may be driven."""
    by_end: dict[datetime, list[ZoneId]] = {}
    for zone, cure in cures.items():
        if cure.dry_until and cure.dry_until > at:
            by_end.setdefault(cure.dry_until, []).append(zone)
    found = []
    if by_end:
        zones = [zone for group in by_end.values() for zone in group]
        last = day_of_week_and_time(max(by_end), at, tz)
        found.append(_("Keep dry until {time}: {zones}.").format(time=last, zones=zones_in_brief(job.job, zones)))
    drive = max((cure.drive_from for cure in cures.values() if cure.drive_from), default=at)
    if drive > at:
        found.append(_("Not to be driven before {time}.").format(time=day_of_week_and_time(drive, at, tz)))
    fully = max((cure.full_cure_at for cure in cures.values() if cure.full_cure_at), default=at)
    if fully > at:
        found.append(_("No wash before {day}, when all is fully cured.").format(day=day_of_month(fully, tz)))
    return found
