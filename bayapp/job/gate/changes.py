"""A job changed while its car is in the bay: zones added, and another recipe for what is still to do."""

from collections import Counter
from collections.abc import Iterable, Mapping

from bayapp.job.grounds import Bare, LaddersDiffer, SameRecipe, StillWorked, WaitsClash, Why
from bayapp.job.model.ids import Code, Person, StepId, ZoneId
from bayapp.job.model.job import Job, WorkBlock, check_healing, check_waits
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Recipe, Step
from bayapp.job.state.state import JobState, ZoneState
from bayapp.job.verdict import Refusal


class CannotSwapError(Exception):
    """The ladder of a zone as far as it has got does not fit the new recipe; ``step`` is what does not fit."""

    def __init__(self, step: StepId) -> None:
        super().__init__(f"step {step!r} has been done, or missed, and the new recipe has nothing like it in its place")
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
    """Return a job anew: a mere copy would keep what the old one had worked out."""
    return Job(
        id=job.id,
        title=job.title,
        crew=crew,
        start=job.start,
        promised=job.promised,
        vehicle=job.vehicle,
        blocks=blocks,
        products=dict(products),
        drawing=job.drawing,
    )


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


def swapped_blocks(job: JobState, zones: Iterable[ZoneId], recipe: Recipe) -> tuple[WorkBlock, ...]:
    """Return the blocks that these zones make with the new recipe from where each stands; one for each such place.

    Raises:
        CannotSwapError: a zone has got to where the new recipe has no such place.
    """
    found: dict[Recipe, list[ZoneId]] = {}
    for zone in zones:
        found.setdefault(merged_recipe(job.job.recipe_of(zone), job.zones[zone], recipe), []).append(zone)
    return tuple(WorkBlock(zones=tuple(zones), recipe=made) for made, zones in found.items())


def against_swapping(
    job: JobState, zones: tuple[ZoneId, ...], recipe: Recipe, products: Mapping[str, Product]
) -> Refusal | None:
    """Return why these zones cannot go on by the new recipe: one is being worked, has got elsewhere, or waits clash."""
    for zone in zones:
        running = job.zones[zone].running
        if running:
            return Refusal(Code.BUSY, StillWorked(running.step), job.job.id, zone, running.step)
        try:
            merged = merged_recipe(job.job.recipe_of(zone), job.zones[zone], recipe)
        except CannotSwapError as misfit:
            return Refusal(Code.ORDER, LaddersDiffer(recipe.title or recipe.name), job.job.id, zone, misfit.step)
        if merged == job.job.recipe_of(zone):
            return Refusal(Code.DONE, SameRecipe(recipe.title or recipe.name), job.job.id, zone)
    return _against_waits(job.job, swapped_blocks(job, zones, recipe), products)


def merged_recipe(old: Recipe, zone: ZoneState, new: Recipe) -> Recipe:
    """Return the new recipe from where a zone stands, below it the rungs as they were climbed.

    What stands must be like the first steps of the new recipe: step by step of the same kind. A step of the new recipe
    that is like one of the old keeps the old one's id: what others wait for, and what was missed, is still there.

    Raises:
        CannotSwapError: what stands, or was done before a fall, has no like in the new recipe.
    """
    kept = tuple(old.named(run.step) for run in zone.rungs)
    for place, step in enumerate(kept):
        if place >= len(new.step) or _like(new.step[place]) != _like(step):
            raise CannotSwapError(StepId(step.id))
    ids = _ids(old, kept, new)
    rest = tuple(_renamed(step, ids) for step in new.step[len(kept) :])
    made = new.model_copy(update={"step": (*kept, *rest)})
    known = {step.id for step in made.step}
    for past in (*(run.step for run in zone.runs), *(lapse.step for lapse in zone.lapses)):
        if past not in known:
            raise CannotSwapError(past)
    return Recipe.model_validate(made.model_dump())


def _like(step: Step) -> tuple[object, ...]:
    return (step.kind, step.layer)


def _ids(old: Recipe, kept: tuple[Step, ...], new: Recipe) -> dict[str, str]:
    """Return what each step of the new recipe is called in the merged one."""
    ids = {new.step[place].id: step.id for place, step in enumerate(kept)}
    free = [step for step in old.step if step.id not in ids.values()]
    for step in new.step[len(kept) :]:
        twin = next((other for other in free if _like(other) == _like(step)), None)
        if twin is not None:
            free.remove(twin)
            ids[step.id] = twin.id
        else:
            ids[step.id] = step.id
    return _told_apart(ids)


def _told_apart(ids: dict[str, str]) -> dict[str, str]:
    """Number what would otherwise be called the same."""
    taken: Counter[str] = Counter()
    found = {}
    for new, name in ids.items():
        taken[name] += 1
        found[new] = name if taken[name] == 1 else f"{name}-{taken[name]}"
    return found


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
