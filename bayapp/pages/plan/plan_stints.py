"""The work of the day, done and planned, as single steps on single zones."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from bayapp.job import BayState, JobState, StepRun, ZoneState
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.planning.core.work_order import PlannedStep, WorkOrder

REST = timedelta(hours=6)


class Part(StrEnum):
    """Whether work is done, under way, or planned."""

    DONE = "done"
    RUNNING = "running"
    PLANNED = "planned"


@dataclass(frozen=True, slots=True)
class Stint:
    """One step of one zone on the time line.

    Attributes:
        start, end: as it happened, or as planned; work under way ends when planned.
        opens_at, lapses_at: the window in which a planned step must start; None for no limit.
    """

    job: JobId
    zone: ZoneId
    step: StepId
    person: Person | None
    start: datetime
    end: datetime
    part: Part
    opens_at: datetime | None = None
    lapses_at: datetime | None = None


def day_began(state: BayState, at: datetime) -> datetime:
    """Return when this working day began: after at least six hours without work, whatever the calendar says."""
    edges = {m for job in state.open_jobs for zone in job.zones.values() for m in _edges(zone) if m <= at}
    began = at
    for edge in sorted(edges, reverse=True):
        if began - edge >= REST:
            break
        began = edge
    return began


def _edges(zone: ZoneState) -> Iterator[datetime]:
    for run in zone.runs:
        yield run.started_at
        if run.finished_at:
            yield run.finished_at
    if zone.running:
        yield zone.running.started_at


def happened(state: BayState, order: WorkOrder | None, at: datetime) -> list[Stint]:
    """Return what was done in this working day, and what is under way."""
    since = day_began(state, at)
    ends = {(s.job, s.zone, s.step): s.end for s in order.steps} if order else {}
    found = []
    for job in state.open_jobs:
        for zone, known in job.zones.items():
            done = (run for run in known.runs if run.finished_at and run.finished_at >= since)
            found += [Stint(job.job.id, zone, r.step, r.by, r.started_at, r.finished_at or at, Part.DONE) for r in done]
            run = known.running
            if run:
                end = ends.get((job.job.id, zone, run.step)) or _expected(job, zone, run)
                found.append(Stint(job.job.id, zone, run.step, run.by, run.started_at, end, Part.RUNNING))
    return found


def _expected(job: JobState, zone: ZoneId, run: StepRun) -> datetime:
    """Return when work under way should end by its recipe: zones of one touch are worked one after the other."""
    same = sum(1 for z in job.zones.values() if z.running and run.touch and z.running.touch == run.touch)
    return run.started_at + max(1, same) * timedelta(minutes=job.job.recipe_of(zone).named(run.step).minutes)


def ahead(state: BayState, order: WorkOrder | None) -> list[Stint]:
    """Return what is planned and has not been begun since."""
    return [_stint(s) for s in order.steps if not s.running and _still_ahead(state, s, order)] if order else []


def _still_ahead(state: BayState, planned: PlannedStep, order: WorkOrder) -> bool:
    job = state.jobs.get(planned.job)
    zone = job.zones.get(planned.zone) if job and job.closed_at is None else None
    if zone is None or (zone.running and zone.running.step == planned.step):
        return False
    run = zone.last_finished(planned.step)
    return run is None or run.finished_at is None or run.finished_at <= order.made_for


def foreseen(order: WorkOrder | None, at: datetime) -> list[Stint]:
    """Return what a plan had for the time that has passed since."""
    return [_stint(s) for s in order.steps if s.start < at and s.end > order.made_for] if order else []


def _stint(planned: PlannedStep) -> Stint:
    return Stint(
        planned.job,
        planned.zone,
        planned.step,
        planned.person,
        planned.start,
        planned.end,
        Part.PLANNED,
        planned.opens_at,
        planned.lapses_at,
    )
