"""A car that is moved out to cure, and water that comes on it: what is offered, and the requests."""

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from bayapp.bay import Bay
from bayapp.job import JobState, MoveCar, ReportWet, why_not
from bayapp.job.gate.wetting import not_dry_yet
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.text.naming import capital, zones_in_brief
from bayapp.text.figures import clock_time, moment_text
from bayapp.text.language import _, ngettext

MINUTES_AGO = (0, 5, 10, 15, 20, 30, 45, 60, 120, 360, 720)


@dataclass(frozen=True, slots=True)
class SpotChoice:
    """One spot where a car can cure, what is to be minded there, and whether it must be held."""

    request: MoveCar
    title: str
    detail: str
    warns: bool = False
    hold: bool = False


@dataclass(frozen=True, slots=True)
class WetChoice:
    """One moment at which it may have got wet."""

    request: ReportWet
    title: str
    detail: str


def spots() -> tuple[str, ...]:
    """Return the spots to choose from without typing."""
    return (
        _("under a roof outside"),
        _("in the hall next door"),
        _("in a tent"),
        _("on the yard"),
        _("at the owner's"),
    )


def moved_out(job: JobId, spot: str, by: Person | None) -> MoveCar:
    """Return the request that moves a car out to cure on a spot."""
    return MoveCar(job, OUTSIDE, by, curing=True, spot=spot)


def spot_choices(bay: Bay, job: JobId, by: Person | None, tz: tzinfo) -> tuple[SpotChoice, ...]:
    """Return the ready spots and those where other cars cure or this one did, each with what is to be minded."""
    known = (stay.spot for car in bay.state.jobs.values() for stay in car.stays if stay.spot)
    return tuple(_spot(bay, moved_out(job, spot, by), tz) for spot in dict.fromkeys((*known, *spots())))


def _spot(bay: Bay, request: MoveCar, tz: tzinfo) -> SpotChoice:
    verdict = bay.judge(request)
    minded = verdict.refusals or verdict.asks
    words = " ".join(why_not(refusal, bay.state, tz) for refusal in minded)
    return SpotChoice(request, capital(request.spot), words, warns=bool(minded))


def cures_text(car: JobState, tz: tzinfo) -> str:
    """Return since when a car cures where it stands."""
    return _("since {time}; nobody works on it").format(time=clock_time(car.there_since, tz, seconds=False))


def may_get_wet(car: JobState) -> tuple[ZoneId, ...]:
    """Return the zones of which it can be said that they got wet: all on which something has been done."""
    return tuple(zone for zone, state in car.zones.items() if state.runs or state.running)


def wet_text(car: JobState, at: datetime) -> str:
    """Return what is not dry yet on a car, for the button that says that it got wet."""
    zones = not_dry_yet(car, at)
    return _("not dry yet: {zones}").format(zones=zones_in_brief(car.job, zones)) if zones else _("all of it is dry")


def wet_choices(
    car: JobState, zones: tuple[ZoneId, ...], by: Person | None, at: datetime, tz: tzinfo
) -> tuple[WetChoice, ...]:
    """Return when it may have got wet: now, or so long ago, but not before the car came in."""
    found = []
    for minutes in MINUTES_AGO:
        wet_at = at - timedelta(minutes=minutes)
        if wet_at < car.opened_at:
            break
        request = ReportWet(car.job.id, zones, wet_at if minutes else None, by)
        found.append(WetChoice(request, _ago(minutes), moment_text(wet_at, at, tz)))
    return tuple(found)


def _ago(minutes: int) -> str:
    if not minutes:
        return _("Now")
    if minutes < 60 or minutes % 60:
        return ngettext("{n} minute ago", "{n} minutes ago", minutes).format(n=minutes)
    return ngettext("{n} hour ago", "{n} hours ago", minutes // 60).format(n=minutes // 60)
