"""Which steps must keep away from which surfaces: dust from fresh coats, water from what must stay dry. No solver."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta

from bayapp.job.bay_facts import cure_of, fresh_coat
from bayapp.job.recipe import COVERING_KINDS, Recipe
from bayapp.job.state import BayState, JobState
from bayapp.job.words import JobId, StepKind, ZoneId
from bayapp.planning.ahead import Key, Ladder, Rung
from bayapp.planning.problem import Guard


def never_covered(state: BayState, ladders: Iterable[Ladder], at: datetime) -> Iterator[tuple[JobId, ZoneId]]:
    """Yield zones with a fresh coat that nobody goes on with: set aside, or held. Dust and water must wait for them."""
    going_on = {(ladder.job.job.id, ladder.zone) for ladder in ladders if ladder.rungs}
    for job in state.open_jobs:
        for zone in job.zones:
            dries = cure_of(job, zone) is not None
            if (job.job.id, zone) not in going_on and not dries and fresh_coat(job, zone, at):
                yield job.job.id, zone


def guards(state: BayState, ladders: Iterable[Ladder], rungs: Mapping[Key, Rung], at: datetime) -> tuple[Guard, ...]:
    """Return a guard for every fresh coat and every surface to keep dry, now and to come.

    Stricter than the gate in one point: no coat is begun while water flies, nor water while a buffed coat is not
    yet finished. What is under way is under way: it is held against no guard that has begun.
    """
    dusty = {key for key, r in rungs.items() if r.step.makes_dust}
    wet = {key for key, r in rungs.items() if r.step.makes_wet}
    known = {(ladder.job.job.id, ladder.zone): ladder for ladder in ladders}
    found = []
    for job in state.open_jobs:
        for zone in job.zones:
            ladder = known.get((job.job.id, zone), Ladder(job, zone, ()))
            left = [r for r in ladder.rungs if r.key in rungs]
            own = {r.key for r in left}
            for guard in (*_no_dust(job, zone, left, at), *_keep_dry(job, zone, left, at)):
                keys = (dusty if guard.id.endswith("dust") else wet) - own
                if guard.first is None:
                    keys = {key for key in keys if rungs[key].run is None}
                if keys:
                    against = frozenset("/".join(key) for key in keys)
                    found.append(Guard(guard.id, guard.first, guard.last, against, guard.longer_s))
    return tuple(found)


def _no_dust(job: JobState, zone: ZoneId, left: list[Rung], at: datetime) -> Iterator[Guard]:
    """From the first stroke of the first coat until the last coat is levelled or buffed, or has dried by itself."""
    recipe, name = job.job.recipe_of(zone), f"{job.job.id}/{zone} no dust"
    covering = [place for place, step in enumerate(recipe.step) if step.kind in COVERING_KINDS]
    fresh = fresh_coat(job, zone, at)
    first = _first_coat(left)
    if not covering or (first is None and not fresh):
        return
    begins = None if fresh or first is None else "/".join(first.key)
    if recipe.step[covering[-1]].kind is StepKind.COAT:
        yield from _until_dry(job, zone, left, at, begins, name)
        return
    closing = [r for r in left if r.place in recipe.group_of(covering[-1])]
    if closing:
        yield Guard(name, begins, "/".join(closing[-1].key), frozenset())


def _keep_dry(job: JobState, zone: ZoneId, left: list[Rung], at: datetime) -> Iterator[Guard]:
    """From the first coat, or from the end of a ladder without one, until the hours to keep dry are over."""
    recipe, name = job.job.recipe_of(zone), f"{job.job.id}/{zone} keep dry"
    cure = cure_of(job, zone)
    first = _first_coat(left)
    fresh = fresh_coat(job, zone, at)
    if fresh or first is not None:
        begins = None if fresh or first is None else "/".join(first.key)
        yield from _until_dry(job, zone, left, at, begins, name)
    elif left and recipe.finish.keep_dry_hours:
        last = "/".join(left[-1].key)
        yield Guard(name, last, last, frozenset(), _dry_s(recipe))
    elif cure and cure.dry_until and cure.dry_until > at:
        yield Guard(name, None, None, frozenset(), _seconds_up(cure.dry_until - at))


def _until_dry(
    job: JobState, zone: ZoneId, left: list[Rung], at: datetime, begins: str | None, name: str
) -> Iterator[Guard]:
    recipe, cure = job.job.recipe_of(zone), cure_of(job, zone)
    if left:
        yield Guard(name, begins, "/".join(left[-1].key), frozenset(), _dry_s(recipe))
    elif cure is not None and cure.dry_until is not None:
        yield Guard(name, None, None, frozenset(), _seconds_up(max(timedelta(), cure.dry_until - at)))


def _first_coat(left: list[Rung]) -> Rung | None:
    return next((r for r in left if r.step.kind is StepKind.COAT), None)


def _dry_s(recipe: Recipe) -> int:
    return _seconds_up(timedelta(hours=recipe.finish.keep_dry_hours))


def _seconds_up(length: timedelta) -> int:
    return -(-length // timedelta(seconds=1))
