"""A job changed while its car is in the bay: zones added, and another recipe for what is still to do."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from itertools import chain, count, takewhile

from bayapp.job.grounds import Bare, LaddersDiffer, SameRecipe, StillWorked, WaitsClash, Why
from bayapp.job.model.ids import Code, Person, StepId, ZoneId
from bayapp.job.model.job import Job, WorkBlock, check_healing, check_waits
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import FollowingRecipe, Recipe, Step
from bayapp.job.state.state import JobState, ZoneState
from bayapp.job.verdict import Refusal
from bayapp.job.waits.ladder_position import LadderPosition, ladder_position


class CannotSwapError(Exception):
    """The ladder of a zone as far as it has got does not fit the new recipe; ``step`` is what does not fit."""

    def __init__(self, step: StepId) -> None:
        super().__init__(f"step {step!r} has been done, and the new recipe has nothing like it in its place")
        self.step = step


def with_work(job: Job, added: Iterable[WorkBlock], products: Mapping[str, Product]) -> Job:
    """Return the job with more work blocks; a zone that stands in one of them leaves the block it was in.

    Raises:
        ValueError: the waits of the whole could not hold: they go in a circle, or count from what is not there.
    """
    added = tuple(added)
    moved = {zone for block in added for zone in block.zones}
    left = (WorkBlock(zones=tuple(z for z in b.zones if z not in moved), recipe=b.recipe) for b in job.blocks)
    blocks = (*(block for block in left if block.zones), *added)
    changed = _rebuilt(job, blocks, {**job.products, **products}, job.crew)
    check_waits(changed)
    return changed


def _rebuilt(job: Job, blocks: tuple[WorkBlock, ...], products: Mapping[str, Product], crew: tuple[Person, ...]) -> Job:
    """Return a job anew, with all else that is known of it: a mere copy would keep what the old one had worked out."""
    known = {name: getattr(job, name) for name in Job.model_fields}
    return Job.model_validate({**known, "blocks": blocks, "products": dict(products), "crew": crew})


def with_crew(job: Job, crew: tuple[Person, ...]) -> Job:
    """Return the job with another crew."""
    return _rebuilt(job, job.blocks, job.products, crew)


def against_adding(job: JobState, block: WorkBlock, products: Mapping[str, Product]) -> Refusal | None:
    """Return why this work cannot be added: the form lacks a zone, a zone is worked already, or waits cannot hold."""
    names = {zone.id for zone in job.job.vehicle.zone}
    for zone in block.zones:
        if zone not in names:
            return Refusal(Code.UNKNOWN, Bare(Why.NO_SUCH_ZONE), job.job.id, zone)
        if zone in job.zones:
            return Refusal(Code.DONE, Bare(Why.WORKED_ALREADY), job.job.id, zone)
    return _against_waits(job.job, (block,), products)


def swapped_blocks(job: JobState, zones: Iterable[ZoneId], recipe: Recipe, at: datetime) -> tuple[WorkBlock, ...]:
    """Return the blocks that these zones make with the new recipe from where each stands; one for each such place.

    Raises:
        CannotSwapError: a zone has got to where the new recipe has no such place.
    """
    found: dict[Recipe, list[ZoneId]] = {}
    for zone in zones:
        found.setdefault(merged_from(job, zone, recipe, at), []).append(zone)
    return tuple(WorkBlock(zones=tuple(zones), recipe=made) for made, zones in found.items())


def against_swapping(
    job: JobState, zones: tuple[ZoneId, ...], recipe: Recipe, products: Mapping[str, Product], at: datetime
) -> Refusal | None:
    """Return why these zones cannot go on by the new recipe: one is being worked, has got elsewhere, or waits clash."""
    for zone in zones:
        running = job.zones[zone].running
        if running:
            return Refusal(Code.BUSY, StillWorked(running.step), job.job.id, zone, running.step)
        try:
            merged = merged_from(job, zone, recipe, at)
        except CannotSwapError as misfit:
            return Refusal(Code.ORDER, LaddersDiffer(recipe.title or recipe.name), job.job.id, zone, misfit.step)
        if merged == job.job.recipe_of(zone):
            return Refusal(Code.DONE, SameRecipe(recipe.title or recipe.name), job.job.id, zone)
    return _against_waits(job.job, swapped_blocks(job, zones, recipe, at), products)


def merged_from(job: JobState, zone: ZoneId, new: Recipe, at: datetime) -> Recipe:
    """Return the new recipe from where a zone stands; where that does not fit, from where a lapse has taken it.

    Raises:
        CannotSwapError: neither fits.
    """
    old, zone_state = job.job.recipe_of(zone), job.zones[zone]
    try:
        return merged_recipe(old, zone_state, new)
    except CannotSwapError:
        fallen = ladder_position(job, zone, at)
        if fallen.rungs == zone_state.rungs:
            raise
        return merged_recipe(old, _fallen(zone_state, fallen), new)


def _fallen(zone: ZoneState, ladder: LadderPosition) -> ZoneState:
    """Return a zone with what has lapsed on it charged."""
    return ZoneState(zone.runs, ladder.rungs, None, zone.lapses + ladder.lapses, before=zone)


def swapped_zone(job: JobState, zone: ZoneId, recipe: Recipe, at: datetime) -> ZoneState:
    """Return a zone as it goes on by another recipe; undo goes back only as far as that recipe has the steps."""
    zone_state = job.zones[zone]
    if not _fits(zone_state, recipe):
        zone_state = _fallen(zone_state, ladder_position(job, zone, at))
        standing = takewhile(lambda run: recipe.has(run.step), zone_state.rungs)  # in case times were corrected later
        zone_state = replace(zone_state, rungs=tuple(standing))
    back = [zone_state]
    while back[-1].before is not None and _fits(back[-1].before, recipe):
        back.append(back[-1].before)
    if back[-1].before is None:
        return zone_state
    undoable: ZoneState | None = None
    for earlier in reversed(back):
        undoable = replace(earlier, before=undoable)
    return undoable or zone_state


def _fits(zone: ZoneState, recipe: Recipe) -> bool:
    return all(recipe.has(run.step) for run in zone.climbed)


def merged_recipe(old: Recipe, zone: ZoneState, new: Recipe) -> Recipe:
    """Return the new recipe from where a zone stands, below it the rungs as they were climbed.

    What stands must be like the first steps of the new recipe: step by step of the same kind. A step of the new recipe
    that is like one of the old keeps the old one's id: what others wait for, and what was missed, is still there. What
    was done or missed before a fall and has no like keeps its words in the old recipe, which then goes with the new.

    Raises:
        CannotSwapError: what stands has no like in the new recipe.
    """
    kept = tuple(old.named(run.step) for run in zone.rungs)
    for place, step in enumerate(kept):
        if place >= len(new.step) or _like(new.step[place]) != _like(step):
            raise CannotSwapError(StepId(step.id))
    past = _past(zone)
    ids = _ids(old, kept, new, past)
    rest = tuple(_renamed(step, ids) for step in new.step[len(kept) :])
    made = Recipe.model_validate({**_plain(new).model_dump(), "step": [step.model_dump() for step in (*kept, *rest)]})
    lacking = {step for step in past if not made.has(step)}
    earlier: list[Recipe] = []
    for recipe in (old, *(old.earlier if isinstance(old, FollowingRecipe) else ())):
        if any(recipe.has(step) for step in lacking):
            earlier.append(_plain(recipe))
            lacking = {step for step in lacking if not recipe.has(step)}
    if not earlier:
        return made
    return FollowingRecipe.model_validate({**made.model_dump(), "earlier": [e.model_dump() for e in earlier]})


def _past(zone: ZoneState) -> frozenset[StepId]:
    """Return every step that was done on a zone, or missed, or gone back to."""
    missed = (step for lapse in zone.lapses for step in (lapse.step, lapse.back_to) if step is not None)
    return frozenset({*(run.step for run in zone.runs), *missed})


def _plain(recipe: Recipe) -> Recipe:
    """Return a recipe without those before it."""
    return Recipe.model_validate(recipe.model_dump(exclude={"earlier"}))


def _like(step: Step) -> tuple[object, ...]:
    return (step.kind, step.layer)


def _ids(old: Recipe, kept: tuple[Step, ...], new: Recipe, past: frozenset[StepId]) -> dict[str, str]:
    """Return what each step of the new recipe is called in the merged one: like its twin in the old one, if it has one.

    Others keep their own name, numbered where it is a twin's, or that of something else that was done.
    """
    ids = {new.step[place].id: step.id for place, step in enumerate(kept)}
    free = [step for step in old.step if step.id not in ids.values()]
    for step in new.step[len(kept) :]:
        twin = next((other for other in free if _like(other) == _like(step)), None)
        if twin is not None:
            free.remove(twin)
            ids[step.id] = twin.id
    taken = {*ids.values(), *past}
    for step in new.step[len(kept) :]:
        if step.id not in ids:
            ids[step.id] = _free(step.id, taken)
            taken.add(ids[step.id])
    return ids


def _free(name: str, taken: Collection[str]) -> str:
    numbered = (f"{name}-{number}" for number in count(2))
    return next(free for free in chain((name,), numbered) if free not in taken)


def _renamed(step: Step, ids: Mapping[str, str]) -> Step:
    wait = step.wait
    if wait is not None and wait.after is not None and wait.of in (None, "block"):
        wait = wait.model_copy(update={"after": ids[wait.after]})
    return step.model_copy(update={"id": ids[step.id], "wait": wait})


def _against_waits(job: Job, blocks: tuple[WorkBlock, ...], products: Mapping[str, Product]) -> Refusal | None:
    try:
        check_healing(with_work(job, blocks, products), blocks)
    except ValueError as clash:
        return Refusal(Code.ORDER, WaitsClash(str(clash)), job.id)
    return None
