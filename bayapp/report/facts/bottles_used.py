"""Which zone took how much from which bottle on a day, and what was used of which no bottle was told."""

from collections.abc import Sequence
from dataclasses import replace

from bayapp.job.model.ids import StepKind, ZoneId
from bayapp.report.facts.day_record import BottleRecord, ZoneRecord


def used_without_bottle(zones: Sequence[ZoneRecord]) -> dict[str | None, tuple[ZoneId, ...]]:
    """Return what was used today without a bottle being told, with the zones; None: a coat of an unknown product."""
    found: dict[str | None, dict[ZoneId, None]] = {}
    for zone in zones:
        for step in zone.steps:
            if step.bottle is None and (step.product or step.kind is StepKind.COAT):
                found.setdefault(step.product, {})[zone.zone] = None
    return {product: tuple(used) for product, used in found.items()}


def bottles_used(zones: Sequence[ZoneRecord]) -> dict[BottleRecord, dict[str, float | None]]:
    """Return each bottle, without an amount of its own, with what each zone took from it today, estimated ml.

    A step that was begun again took twice; one that was undone took nothing and does not stand in the record.
    """
    found: dict[BottleRecord, dict[str, float | None]] = {}
    for zone in zones:
        for step in zone.steps:
            if step.bottle is None:
                continue
            taken = found.setdefault(replace(step.bottle, estimated_ml=None), {})
            before, more = taken.get(zone.name), step.bottle.estimated_ml
            taken[zone.name] = more if before is None else before + (more or 0.0)
    return dict(sorted(found.items(), key=lambda item: (item[0].product, len(item[0].number), item[0].number)))
