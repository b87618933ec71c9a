"""Where each person works, or goes next, in a few words for the strip at the top."""

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta, tzinfo

from bayapp.bay import Bay
from bayapp.job import BayState, ChangeCrew, Job, ZoneClock
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.text.naming import zones_title
from bayapp.text.figures import clock_time
from bayapp.text.language import _


def people_at_hand(state: BayState, job: Job) -> tuple[Person, ...]:
    """Return who may stand at a car: its crew, then those who work on the other cars in the bay."""
    others = (person for other in state.open_jobs for person in other.job.crew)
    return tuple(dict.fromkeys((*job.crew, *others)))


def joining(job: Job, person: Person) -> ChangeCrew | None:
    """Return what lets a person work on a car; None where nothing is needed."""
    if not job.crew or person in job.crew:
        return None
    return ChangeCrew(job.id, (*job.crew, person), person)


def doings(
    bay: Bay,
    people: Sequence[Person],
    clocks: Collection[ZoneClock],
    at: datetime,
    tz: tzinfo,
    others: Collection[Person] = (),
) -> dict[Person, str]:
    """Return for each person the work under way, else the next by the plan, else nothing; only if there are several.

    Of ``others`` only what is under way is told: to ask the plan of everybody in the bay takes too long for a touch.
    """
    if len(people) < 2:
        return {}
    busy = {c.running.by: c for c in reversed(tuple(clocks)) if c.running and c.running.by}
    idle = [p for p in people if p not in busy and p not in others]
    found = {p: _under_way(bay.state, busy[p].job, p, clocks) for p in people if p in busy}
    for person, (recommendation, pause) in bay.advice.next_of(idle, clocks, at).items():
        if recommendation:
            advice = recommendation.advice
            found[person] = _("next: {where}").format(where=_where(bay.state, advice.job, advice.zones))
        elif pause and pause.until > at:
            found[person] = _("free until {time}").format(
                time=clock_time(_whole_minute(pause.until), tz, seconds=False)
            )
    return found


def _whole_minute(moment: datetime) -> datetime:
    """Return the first whole minute that is not before a moment: nobody reads at 22:46:18 "free until 22:46"."""
    return moment + (datetime.min.replace(tzinfo=moment.tzinfo) - moment) % timedelta(minutes=1)


def _under_way(state: BayState, job: JobId, person: Person, clocks: Collection[ZoneClock]) -> str:
    zones = tuple(c.zone for c in clocks if c.job == job and c.running and c.running.by == person)
    return _where(state, job, zones)


def _where(state: BayState, job: JobId, zones: tuple[ZoneId, ...]) -> str:
    """Return where somebody works: a set by its name, else the first zone and how many more."""
    known = state.jobs[job].job
    if len(zones) == 2:
        return _("{zone} +1").format(zone=known.zone_names[zones[0]])
    return zones_title(known, zones)
