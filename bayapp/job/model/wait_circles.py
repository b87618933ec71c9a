"""Finds waits across zones that can never end, because they wait for each other."""

from collections.abc import Callable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.model.recipe import Recipe, Wait

ZonePlace = tuple[ZoneId, int]
Counted = Callable[[Wait], tuple[ZoneId, ...]]


def circle_of_waits(
    ladders: Mapping[ZoneId, Recipe], block_mates: Mapping[ZoneId, tuple[ZoneId, ...]], counted: Counted
) -> tuple[tuple[ZoneId, StepId], ...]:
    """Return steps that wait for each other in a circle, each for the one before it; empty when there is none.

    Args:
        ladders: each worked zone's recipe.
        block_mates: the zones of each worked zone's block.
        counted: the worked zones of the sets that a wait counts.
    """
    needs: dict[ZonePlace, set[ZonePlace]] = {}
    for zone, recipe in ladders.items():
        for place in range(len(recipe.step)):
            rung = (zone, recipe.group_of(place).start)
            found = needs.setdefault(rung, set())
            found |= set(_needed(zone, place, ladders, block_mates, counted))
            if rung[1] > 0:
                found.add((zone, recipe.group_of(rung[1] - 1).start))
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        return tuple((zone, StepId(ladders[zone].step[place].id)) for zone, place in error.args[1])
    return ()


def _needed(
    zone: ZoneId,
    place: int,
    ladders: Mapping[ZoneId, Recipe],
    block_mates: Mapping[ZoneId, tuple[ZoneId, ...]],
    counted: Counted,
) -> Iterator[ZonePlace]:
    """Yield the rungs that the wait of a step counts from; of steps that may swap, the first stands for all."""
    recipe = ladders[zone]
    wait = recipe.step[place].wait
    if wait is None or wait.of is None:
        return
    if wait.of == "block":
        group = recipe.group_of(place)
        anchor = recipe.group_of(recipe.position(StepId(wait.after)) if wait.after else group.start - 1).start
        if place == group.start or wait.after:
            yield from ((mate, anchor) for mate in block_mates[zone] if anchor != group.start)
        return
    for member in counted(wait):
        for step in ladders[member].counted_for_set(wait):
            yield member, ladders[member].group_of(ladders[member].position(step)).start
