"""When a test spot is asked for, before a first polish of paint or with another paste or tool; which one was chosen.

Common practice, no source: what a paint stands is found out on a small piece of it, the gentlest way first.
"""

from collections.abc import Iterable

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Step
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.state.state import JobState


def combination_of(step: Step) -> str:
    """Return what a test spot for a step is kept under: its paste and tool, so that another of them asks anew."""
    return "/".join((step.product or "", step.tool or ""))


def polish_of(car: JobState, zones: Iterable[ZoneId], step: StepId | None) -> Step | None:
    """Return the step where it polishes paint on one of these zones; None for any other."""
    for zone in zones:
        recipe = car.job.recipe_of(zone)
        if step is None or not recipe.has(step) or recipe.named(step).kind is not StepKind.POLISH:
            return None
        if car.job.vehicle.zone_named(zone).surface == "paint":
            return recipe.named(step)
    return None


def chosen_spot(car: JobState, zones: Iterable[ZoneId], step: StepId | None) -> SpotCard | None:
    """Return the combination with which a step is done: the last that was chosen for it; None where none was."""
    polish = polish_of(car, zones, step)
    cards = car.spots.get(combination_of(polish), ()) if polish else ()
    return next((card for card in reversed(cards) if card and card.chosen), None)


def wants_spot(car: JobState, zones: Iterable[ZoneId], step: StepId | None) -> bool:
    """Whether a step is the first polish of paint so, and nobody has tried how, or said that no test spot is made."""
    polish = polish_of(car, zones, step)
    if polish is None:
        return False
    combination = combination_of(polish)
    return combination not in car.spots and not _polished(car, combination)


def _polished(car: JobState, combination: str) -> bool:
    """Whether paint of the car was polished with a paste and tool before."""
    done = ((zone, run.step) for zone, state in car.zones.items() for run in state.runs)
    polishes = (polish_of(car, (zone,), step) for zone, step in done)
    return any(polish is not None and combination_of(polish) == combination for polish in polishes)
