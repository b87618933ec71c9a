"""Recipes that can never heal: a latest moment that is missed for ever, because what is done again leaves it missed.

Where a person inspects, nothing is done again by the recipe, and they decide: such a wait heals.
"""

from collections.abc import Collection, Iterator

from bayapp.job.model.ids import LapseTo, StepId
from bayapp.job.model.recipe import Recipe, Wait
from bayapp.text.language import _

Unhealed = tuple[int, str]
"""The place of a step whose missed wait can never be made good, and why, with what would be right."""


def unhealed(recipe: Recipe) -> Unhealed | None:
    """Return the first step whose missed wait its own ladder can never make good; None where all heal."""
    for place, wait, back in _missable(recipe):
        step = recipe.step[place].id
        if back is None and wait.lapse not in (None, LapseTo.INSPECT):
            return place, _(
                "step {step!r} goes back to a {lapse} when its latest moment is missed, but no {lapse} stands before "
                'it; put one there, or write lapse = "inspect"'
            ).format(step=step, lapse=wait.lapse)
        anchor = _counts_from(recipe, place, wait)
        if back is not None and anchor is not None and anchor < recipe.group_of(back).start:
            return place, _(
                "step {step!r} goes back to {back!r} when its latest moment is missed, but its wait counts from "
                "{anchor!r} before that, which is not done again: it would be missed for ever; count from {back!r} or "
                "a later step, or go back further"
            ).format(step=step, back=recipe.step[back].id, anchor=recipe.step[anchor].id)
    return None


def unhealed_in_set(
    recipe: Recipe, in_set: bool, sets: tuple[str, ...], members: Collection[Recipe]
) -> Unhealed | None:
    """Return the first wait of a set that a zone can never make good, for what it does again does not move it.

    ``in_set``: the zone is one of these sets, so that its own last coat counts too; ``members`` are the sets' recipes.
    """
    for place, wait, back in _missable(recipe):
        if wait.sets != sets or back is None or not any(member.counted_for_set(wait) for member in members):
            continue
        own = (recipe.position(step) for step in (recipe.counted_for_set(wait) if in_set else ()))
        if not any(recipe.group_of(anchor).start >= recipe.group_of(back).start for anchor in own):
            return place, _(
                "step {step!r} goes back to {back!r} when its latest moment is missed, but its wait counts from "
                "{of!r}, which nothing that is done again here moves: it would be missed for ever; leave out max, or "
                'write lapse = "inspect"'
            ).format(step=recipe.step[place].id, back=recipe.step[back].id, of=", ".join(sets))
    return None


def _missable(recipe: Recipe) -> Iterator[tuple[int, Wait, int | None]]:
    """Yield each place whose wait has a latest moment, with the wait and the rung that it costs."""
    for place, step in enumerate(recipe.step):
        if step.wait is not None and step.wait.can_lapse:
            yield place, step.wait, recipe.falls_back_to(place)


def _counts_from(recipe: Recipe, place: int, wait: Wait) -> int | None:
    """Return the place of what a wait of the zone or its block counts from; of steps that may swap the turn before."""
    if wait.of not in (None, "block"):
        return None
    first = recipe.group_of(place).start
    anchor = recipe.position(StepId(wait.after)) if wait.after else (place if place > first else first) - 1
    return recipe.group_of(anchor).start
