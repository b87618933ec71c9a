"""Waits that no order of work could ever meet, seen over a whole job. Knows no file and no state."""

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter

from bayapp.job import Job, Wait
from bayapp.job.recipe import Recipe
from bayapp.job.words import SetName, ZoneId

Rung = tuple[ZoneId, str]


def impossible_waits(job: Job) -> Iterator[tuple[int, str]]:
    """Yield the work block, 0 first, and the reason, for waits that go in a circle or count from nothing."""
    for number, block in enumerate(job.blocks):
        for step in block.recipe.step:
            of = step.wait.of if step.wait else None
            if step.wait and of not in (None, "block") and _counts_from_nothing(job, step.wait):
                yield (
                    number,
                    (
                        f"step {step.id!r} of recipe {block.recipe.name!r} waits for {step.wait.after!r} of {of!r}, "
                        f"but no recipe of those zones has a step of that name"
                    ),
                )
    try:
        TopologicalSorter(_needs(job)).prepare()
    except CycleError as error:
        circle: list[Rung] = error.args[1][::-1]
        number = job.blocks.index(job.block_of[circle[0][0]])
        told = ", which waits for ".join(f"{step!r} on {job.zone_names[zone]}" for zone, step in circle)
        yield number, f"{told}: a circle, so none of them could ever begin; let one of them wait for something else"


def _counts_from_nothing(job: Job, wait: Wait) -> bool:
    members = job.members(SetName(wait.of or ""))
    return wait.after is not None and bool(members) and not any(_anchors(job, z, wait) for z in members)


def _needs(job: Job) -> dict[Rung, set[Rung]]:
    """Return what must be done before each rung of each zone."""
    needs: dict[Rung, set[Rung]] = {}
    for zone, block in job.block_of.items():
        recipe = block.recipe
        for place, step in enumerate(recipe.step):
            first = recipe.group_of(place).start
            before = {(zone, recipe.step[p].id) for p in (recipe.group_of(first - 1) if first else ())}
            needs[zone, step.id] = before | _waits_for(job, zone, recipe, place)
    return needs


def _waits_for(job: Job, zone: ZoneId, recipe: Recipe, place: int) -> set[Rung]:
    wait = recipe.step[place].wait
    if wait is None or wait.of is None:
        return set()
    if wait.of == "block":
        step = wait.after or recipe.step[place - 1].id
        return {(other, step) for other in job.block_of[zone].zones}
    members = job.members(SetName(wait.of))
    return {rung for member in members for rung in _anchors(job, member, wait)}


def _anchors(job: Job, zone: ZoneId, wait: Wait) -> set[Rung]:
    """Return what a wait on a set counts from on one of its zones: the step named, else its last coats."""
    recipe = job.recipe_of(zone)
    if wait.after is not None:
        return {(zone, step.id) for step in recipe.step if step.id == wait.after}
    last = recipe.last_coat
    return set() if last is None else {(zone, recipe.step[p].id) for p in recipe.group_of(last)}
