"""What is left to do on a zone: its steps, when the next may start, the cure."""

from datetime import datetime

from bayapp.job.clocks import ZoneClock
from bayapp.job.model.ids import StepId, Urgency, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.state import JobState, StepRun
from bayapp.job.text.naming import step_title
from bayapp.job.waits.cure import cure_of
from bayapp.job.waits.ladder_position import ladder_position, next_places
from bayapp.report.facts.day_record import CureRecord, StepLeft, WorkLeft


def cure_record(job: JobState, zone: ZoneId) -> CureRecord | None:
    """Return what holds after the zone's last step, or None while its ladder is not done."""
    cure = cure_of(job, zone)
    if cure is None:
        return None
    return CureRecord(
        cure.finished_at, cure.dry_until, cure.drive_from, cure.protects_until, cure.until, cure.full_cure_at
    )


def rungs_at(job: JobState, zone: ZoneId, at: datetime) -> tuple[StepRun, ...]:
    """Return the runs that count at ``at``, after any step back."""
    zone_state = job.zones[zone]
    return zone_state.rungs if zone_state.running else ladder_position(job, zone, at).rungs


def work_left(job: JobState, clock: ZoneClock, at: datetime, barred: str = "", forbidden: str = "") -> WorkLeft | None:
    """Return what is left on the clock's zone, or None when its ladder is done.

    ``barred``, ``forbidden``: why the bay forbids what comes next, and why a mark does for good.
    """
    recipe = job.job.recipe_of(clock.zone)
    rungs = rungs_at(job, clock.zone, at)
    if clock.urgency is Urgency.FINISHED:
        return None
    steps = _steps_left(recipe, rungs, clock.running)
    lapsed = clock.urgency is Urgency.LAPSED
    return WorkLeft(
        steps=steps,
        running=clock.running is not None,
        next_from=None if clock.running or lapsed or clock.blocked_by else clock.opens_at or clock.since,
        next_until=None if lapsed else clock.lapses_at,
        waits_for=tuple(job.job.zone_names.get(zone, zone) for zone in clock.blocked_by),
        held=clock.held,
        aside=clock.aside,
        barred=barred,
        forbidden=forbidden,
    )


def _steps_left(recipe: Recipe, rungs: tuple[StepRun, ...], running: StepRun | None) -> tuple[StepLeft, ...]:
    places = list(next_places(recipe, rungs))
    if running:
        place = recipe.position(running.step)
        places = [place, *(p for p in places if p in recipe.group_of(place) and p != place)]
    if places:
        places += range(recipe.group_of(places[0]).stop, len(recipe.step))
    steps = [recipe.step[place] for place in places]
    return tuple(StepLeft(StepId(s.id), step_title(recipe, StepId(s.id)), s.kind) for s in steps)
