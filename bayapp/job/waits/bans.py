"""What the marks of a zone forbid on its ladder, and until when.

Where a step is forbidden the zone stops below it: what comes after would want it done. What only readies for it, a wipe
or tape that would not come off again, is then not worth doing either.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.model.mark import REPAINT_DAYS, Mark, MarkKind
from bayapp.job.model.recipe import Recipe, Step, Suits
from bayapp.job.state.events import BaySetUp
from bayapp.job.state.state import JobState, StepRun


@dataclass(frozen=True, slots=True)
class Ban:
    """A mark that forbids a step.

    Attributes:
        step: which step.
        until: from when the step is right; None for as long as the zone is marked so.
        days: after how many days from the mark's date that is.
    """

    mark: Mark
    step: StepId
    until: datetime | None = None
    days: int = 0

    def holds(self, at: datetime) -> bool:
        """Whether it forbids the step at an instant."""
        return self.until is None or at < self.until


def bans(job: JobState, zone: ZoneId, step: Step, at: datetime) -> tuple[Ban, ...]:
    """Return what forbids a step of a zone's ladder at an instant."""
    marks = job.marks.get(zone)
    if not marks:
        return ()
    found = (_ban(job, zone, step, mark) for mark in marks)
    return tuple(ban for ban in found if ban and ban.holds(at))


def _ban(job: JobState, zone: ZoneId, step: Step, mark: Mark) -> Ban | None:
    coats = step.kind is StepKind.COAT
    if mark.kind is MarkKind.REPAINTED:
        hardened = hardens(job, zone, mark)
        return Ban(mark, StepId(step.id), hardened.at, hardened.days) if coats and hardened else None
    forbids = {
        MarkKind.LEAVE: True,
        MarkKind.MATT: step.kind is StepKind.POLISH,
        MarkKind.FILM: Suits.FILM not in job.job.recipe_of(zone).suits,
        MarkKind.SENSOR: coats,
    }
    return Ban(mark, StepId(step.id)) if forbids.get(mark.kind) else None


@dataclass(frozen=True, slots=True)
class Hardened:
    """From when a repaint takes a coat, and after how many days that is."""

    at: datetime
    days: int


def hardens(job: JobState, zone: ZoneId, mark: Mark) -> Hardened | None:
    """Return from when a repainted zone takes a coat: the first moment of that day where the shop is."""
    if mark.date is None:
        return None
    of_recipe = job.job.recipe_of(zone).repaint_days if zone in job.zones else None
    said = (mark.days, of_recipe, job.set_up.repaint_days if job.set_up else None)
    days = next((days for days in said if days is not None), REPAINT_DAYS)
    midnight = datetime.combine(mark.date + timedelta(days=days), time(), _shop_zone(job.set_up))
    return Hardened(midnight.astimezone(UTC), days)


def _shop_zone(set_up: BaySetUp | None) -> tzinfo:
    return _known_zone(set_up.time_zone) if set_up else UTC


@lru_cache(maxsize=8)
def _known_zone(name: str) -> tzinfo:
    """Return a time zone by its name; UTC where nobody has said, or this machine knows none of that name."""
    try:
        return ZoneInfo(name) if name else UTC
    except (LookupError, OSError, ValueError):
        return UTC


def stopped(job: JobState, zone: ZoneId, places: Iterable[int], at: datetime) -> Ban | None:
    """Return what leaves nothing to do on a zone that comes to ``places`` next; None where something is left."""
    places = tuple(places)
    if not places or zone not in job.marks or left_to_do(job, zone, places, at):
        return None
    recipe = job.job.recipe_of(zone)
    ahead = (recipe.step[place] for place in range(places[0], len(recipe.step)))
    return next((found[0] for step in ahead if (found := bans(job, zone, step, at))), None)


def left_to_do(job: JobState, zone: ZoneId, places: tuple[int, ...], at: datetime) -> tuple[int, ...]:
    """Return the places of a zone's ladder from ``places`` on that may be climbed before the first that is forbidden.

    ``places`` are those that come next: several where steps may swap.
    """
    recipe = job.job.recipe_of(zone)
    found: list[int] = []
    while places:
        allowed = [place for place in places if not bans(job, zone, recipe.step[place], at)]
        found += allowed
        if len(allowed) < len(places):
            return _worth_doing(recipe, found)
        after = recipe.group_of(places[0]).stop
        places = tuple(recipe.group_of(after)) if after < len(recipe.step) else ()
    return tuple(found)


def _worth_doing(recipe: Recipe, places: list[int]) -> tuple[int, ...]:
    """Return the places without wipes for what will not be laid, and without tape that nobody would take off again."""
    kinds = [recipe.step[place].kind for place in places]
    if StepKind.MASK in kinds and StepKind.UNMASK not in kinds[kinds.index(StepKind.MASK) :]:
        del places[kinds.index(StepKind.MASK) :]
    while places and recipe.step[places[-1]].kind is StepKind.WIPE:
        places.pop()
    return tuple(places)


def out_of_reach(job: JobState, zone: ZoneId, steps: Iterable[StepId], rungs: tuple[StepRun, ...]) -> bool:
    """Whether a mark keeps a zone that stands on these rungs from a step; such a zone holds up no other.

    What takes no coat yet when the car comes in counts as taking none while it is here: whether others wait for a zone
    must not change at midnight.
    """
    if zone not in job.marks:
        return False
    recipe, done = job.job.recipe_of(zone), {run.step for run in rungs}
    wanted = [recipe.position(step) for step in steps if step not in done]
    if not wanted:
        return False
    begun = max((recipe.group_of(recipe.position(step)).start for step in done if recipe.has(step)), default=0)
    ahead = [p for p in range(begun, len(recipe.step)) if recipe.step[p].id not in done]
    may = left_to_do(job, zone, tuple(p for p in ahead if p in recipe.group_of(ahead[0])), job.opened_at)
    return not set(wanted) <= set(may)
