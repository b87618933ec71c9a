"""Which coats were covered, from when to when, and which zones went on without the rest of their set."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bayapp.job.model.ids import ZoneId
from bayapp.job.model.job import Job
from bayapp.job.state.events import CoatCovered, CoatUncovered, SetClosed, StepStarted
from bayapp.job.text.naming import step_title
from bayapp.report.facts.day_record import AloneRecord, CoverRecord
from bayapp.report.facts.work_history import Held


def cover_records(acts: Iterable[Held], job: Job) -> tuple[CoverRecord, ...]:
    """Return every cover that was put on, in the order of the work, with its end if it has one."""
    records: list[CoverRecord] = []
    on: dict[ZoneId, int] = {}
    for act in acts:
        if isinstance(act, CoatCovered):
            on[act.zone] = len(records)
            records.append(CoverRecord(act.zone, job.zone_names.get(act.zone, act.zone), act.at, act.by))
        elif isinstance(act, CoatUncovered | StepStarted) and act.zone in on:
            step = step_title(job.recipe_of(act.zone), act.step) if isinstance(act, StepStarted) else ""
            place = on.pop(act.zone)
            records[place] = replace(records[place], off_at=act.at, off_by=act.by, off_for=step)
    return tuple(records)


def alone_records(acts: Iterable[Held], job: Job) -> Iterator[AloneRecord]:
    """Yield every time that a zone went on by itself, in the order of the work."""
    for act in acts:
        if isinstance(act, SetClosed):
            recipe = job.recipe_of(act.zone)
            step = step_title(recipe, act.step) if recipe.knows(act.step) else act.step
            without = tuple(job.zone_names.get(zone, zone) for zone in act.without)
            yield AloneRecord(act.zone, job.zone_names.get(act.zone, act.zone), step, act.at, act.by, without)
