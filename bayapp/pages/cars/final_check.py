"""The final check of a car by light: what is still to be seen, what can be wrong, and from which step it is done again.

What is looked for, and what it is traced to, is common practice without a source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from bayapp.bay import Bay
from bayapp.job import JobState, PassZones, Recipe, SendBack
from bayapp.job.gate.final_check import to_be_seen
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.text.naming import capital, step_title, zones_in_brief, zones_title
from bayapp.text.language import _, ngettext


class Fault(StrEnum):
    """What can be seen by light on a zone that is to be done again."""

    HIGH_SPOT = "high-spot"
    SMEAR = "smear"
    MISSED = "missed"
    DUST = "dust"
    WATER_SPOTS = "water-spots"


TAKES_OFF: dict[Fault, tuple[StepKind, ...]] = {
    Fault.HIGH_SPOT: (StepKind.POLISH, StepKind.WIPE),
    Fault.SMEAR: (StepKind.LEVEL, StepKind.BUFF, StepKind.WIPE),
    Fault.MISSED: (StepKind.WIPE, StepKind.COAT, StepKind.CLEAN),
    Fault.DUST: (StepKind.POLISH, StepKind.WIPE),
    Fault.WATER_SPOTS: (StepKind.POLISH, StepKind.CLEAN),
}
"""Steps that mend a fault, the likeliest first."""


def fault_words(fault: Fault) -> str:
    """Return what a person calls a fault; it stands in the record as the reason."""
    return {
        Fault.HIGH_SPOT: _("high spot"),
        Fault.SMEAR: _("smear"),
        Fault.MISSED: _("missed spot"),
        Fault.DUST: _("dust in the coat"),
        Fault.WATER_SPOTS: _("water spots"),
    }[fault]


@dataclass(frozen=True, slots=True)
class Part:
    """Zones that are looked at together: those of one work block that are to be seen, or all that were."""

    zones: tuple[ZoneId, ...]
    title: str
    detail: str
    seen: bool = False


@dataclass(frozen=True, slots=True)
class FinalCheckView:
    """What is left to be seen on a car.

    Attributes:
        good: says of all that can be said so that it is good, by one touch; None where nothing can.
        told: sentences about what is not done yet.
    """

    summary: str
    good: PassZones | None
    parts: tuple[Part, ...]
    told: tuple[str, ...]


def final_check(bay: Bay, job: JobId, by: Person | None) -> FinalCheckView:
    """Return the final check of a car."""
    car = bay.state.jobs[job]
    unseen = to_be_seen(car)
    ready = tuple(zone for zone in unseen if bay.judge(PassZones(job, (zone,), by)).accepted)
    seen = tuple(zone for zone, state in car.zones.items() if state.passed)
    parts = [_part(car, zones) for block in car.job.blocks if (zones := tuple(z for z in block.zones if z in ready))]
    if seen:
        parts.append(Part(seen, _("Seen and good"), zones_in_brief(car.job, seen), seen=True))
    undone = [zone for zone in unseen if zone not in ready]
    words = ngettext("{n} of them is not done yet.", "{n} of them are not done yet.", len(undone))
    told = (words.format(n=len(undone)),) if undone else ()
    return FinalCheckView(_summary(len(unseen)), PassZones(job, ready, by) if ready else None, tuple(parts), told)


def _summary(left: int) -> str:
    if not left:
        return _("All that was worked has been seen by light.")
    return ngettext("{n} zone to be seen by light.", "{n} zones to be seen by light.", left).format(n=left)


def _part(car: JobState, zones: tuple[ZoneId, ...]) -> Part:
    wet = any(car.zones[zone].may_have_spots for zone in zones)
    detail = _("got wet: look for water spots") if wet else _("good, or again")
    return Part(zones, capital(zones_title(car.job, zones)), detail)


@dataclass(frozen=True, slots=True)
class Again:
    """A step from which zones are done again; ``likely`` mends what was seen, as a rule."""

    request: SendBack
    title: str
    likely: bool = False


def ways_back(bay: Bay, job: JobId, zones: tuple[ZoneId, ...], fault: Fault, by: Person | None) -> tuple[Again, ...]:
    """Return the steps from which all of these zones can be done again, the likely one first."""
    recipe = bay.state.jobs[job].job.recipe_of(zones[0])
    asked = (SendBack(job, zones, StepId(step.id), fault_words(fault), by) for step in reversed(recipe.step))
    allowed = [request for request in asked if bay.judge(request).accepted]
    likely = _likely(recipe, fault, [request.step for request in allowed])
    found = [Again(r, capital(step_title(recipe, r.step)), r.step == likely) for r in allowed]
    return tuple(sorted(found, key=_not_likely))


def _not_likely(again: Again) -> bool:
    return not again.likely


def _likely(recipe: Recipe, fault: Fault, steps: Sequence[StepId]) -> StepId | None:
    mends = (step for kind in TAKES_OFF[fault] for step in steps if recipe.named(step).kind is kind)
    return next(mends, None)
