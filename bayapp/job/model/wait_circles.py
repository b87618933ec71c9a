"""Finds waits across zones that can never end, because they wait for each other."""

from collections.abc import Callable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from bayapp.job.model.ids import SetName, StepId, ZoneId
from bayapp.job.model.recipe import Recipe

ZonePlace = tuple[ZoneId, int]
Members = Callable[[SetName], tuple[ZoneId, ...]]


def circle_of_waits(
    ladders: Mapping[ZoneId, Recipe], block_mates: Mapping[ZoneId, tuple[ZoneId, ...]], members: Members
) -> tuple[tuple[ZoneId, StepId], ...]:
    """Return steps that wait for each other in a circle, each for the one before it; empty when there is none.

    Args:
        ladders: each worked zone's recipe.
        block_mates: the zones of each worked zone's block.
        members: the worked zones of a set.
    """
    needs: dict[ZonePlace, set[ZonePlace]] = {}
    for zone, recipe in ladders.items():
        for place in range(len(recipe.step)):
            rung = (zone, recipe.group_of(place).start)
            found = needs.setdefault(rung, set())
            found |= set(_needed(zone, place, ladders, block_mates, members))
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
    members: Members,
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
    for member in dict.fromkeys(zone for name in wait.sets for zone in members(SetName(name))):
        for step in ladders[member].counted_for_set(wait):
            yield member, ladders[member].group_of(ladders[member].position(step)).start
