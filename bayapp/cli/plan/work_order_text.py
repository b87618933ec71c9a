"""A work order in words for people and as one JSON document."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta, tzinfo
from typing import Any

from bayapp.job import Job
from bayapp.job.model.ids import Code, JobId, Person, StepId, ZoneId
from bayapp.job.model.instant import write_instant
from bayapp.job.text.naming import left_text, step_title
from bayapp.pages.plan.ways_out import cost_text, way_title
from bayapp.planning.core.work_order import Forbidden, Loss, PlannedStep, WayOut, WorkOrder
from bayapp.text.figures import clock_time
from bayapp.text.language import _

MINUTE = timedelta(minutes=1)
WIDEST = 110


@dataclass
class WorkStretch:
    """The same step on some zones of one car, done by one person without a pause."""

    job: Job
    title: str
    person: Person | None
    start: datetime
    end: datetime
    running: bool = False
    zones: list[str] = field(default_factory=list)


def as_json(order: WorkOrder, interrupted: bool = False) -> dict[str, Any]:
    """Return the order as one JSON object; minutes count from ``start``, the moment the plan begins; what
    is under way then began before it.
    """
    return {
        "status": order.status,
        "start": write_instant(order.made_for),
        "makespan_min": _minutes(order, order.finish),
        "bound_min": _minutes(order, order.bound),
        "one_by_one_min": _minutes(order, order.one_by_one),
        "finish_p50_min": _minutes(order, order.finish_p50),
        "finish_p90_min": _minutes(order, order.finish_p90),
        "lapse_chance": order.lapse_chance,
        "safety_cost_min": round(order.safety_cost_s / 60, 3),
        "interrupted": interrupted,
        "clash": list(order.clash),
        "assumed": list(order.assumed),
        "losses": [_loss(order, loss) for loss in order.losses],
        "left_out": [
            *({"zone": left.zone, "step": left.step} for left in order.left_out),
            *map(_forbidden, order.forbidden),
        ],
        "trouble": order.trouble,
        "ways_out": [_way_out(order, way) for way in order.ways_out],
        "stuck": order.stuck,
        "steps": [_step(order, step) for step in order.steps],
    }


def _step(order: WorkOrder, step: PlannedStep) -> dict[str, Any]:
    return {
        "zone": step.zone,
        "step": step.step,
        "person": step.person,
        "start_min": _minutes(order, step.start),
        "end_min": _minutes(order, step.end),
        "opens_min": _minutes(order, step.opens_at),
        "lapses_min": _minutes(order, step.lapses_at),
        "running": step.running,
    }


def _way_out(order: WorkOrder, way: WayOut) -> dict[str, Any]:
    return {
        "remedy": way.remedy,
        "job": way.job,
        "zones": list(way.zones),
        "step": way.step,
        "to": way.to,
        "until_min": _minutes(order, way.until),
        "finish_min": _minutes(order, way.finish),
        "later_min": round(way.later_s / 60, 3),
        "rework_min": round(way.rework_s / 60, 3),
        "price_min": round(way.price_s / 60, 3),
        "still": way.still,
    }


def _forbidden(step: Forbidden) -> dict[str, Any]:
    until = None if step.until is None else write_instant(step.until)
    return {"zone": step.zone, "step": step.step, "code": Code.MARK, "why": step.why, "until": until}


def _loss(order: WorkOrder, loss: Loss) -> dict[str, Any]:
    return {"zone": loss.zone, "step": loss.step, "lapses_min": _minutes(order, loss.lapses_at)}


def _minutes(order: WorkOrder, moment: datetime | None) -> float | None:
    return None if moment is None else round((moment - order.made_for) / MINUTE, 3)


def as_text(order: WorkOrder, jobs: Mapping[JobId, Job], tz: tzinfo) -> Iterator[str]:
    """Yield the lines of the order: a table of who does what when, and what is known of its end."""
    if order.steps and order.stuck:
        yield _("Once the first way out is taken:")
    if order.steps:
        yield from _table(order, list(stretches(order.steps, jobs)), tz)
        yield ""
    yield from _sums(order, tz)
    yield from _trouble(order, jobs, tz)
    yield from order.assumed
    for loss in order.losses:
        job = jobs[loss.job]
        yield _("Cannot be kept: {zone}, {step}, at the latest at {time}.").format(
            zone=job.zone_names.get(loss.zone, loss.zone),
            step=step_title(job.recipe_of(loss.zone), loss.step),
            time=clock_time(loss.lapses_at, tz),
        )
    for (job_id, step), zones in _left_out(order).items():
        job = jobs[job_id]
        yield _("Not planned: {step} ({zones}). Nobody can do it, or what it waits for will not happen.").format(
            step=step_title(job.recipe_of(zones[0]), step),
            zones=", ".join(job.zone_names.get(zone, zone) for zone in zones),
        )
    yield from _by_marks(order, jobs)


def _by_marks(order: WorkOrder, jobs: Mapping[JobId, Job]) -> Iterator[str]:
    """Yield for each marked zone what is not done on it, and why."""
    zones: dict[tuple[JobId, ZoneId], list[Forbidden]] = {}
    for step in order.forbidden:
        zones.setdefault((step.job, step.zone), []).append(step)
    for (job_id, zone), steps in zones.items():
        job = jobs[job_id]
        titles = ", ".join(step_title(job.recipe_of(zone), step.step) for step in steps)
        words = _("Not done on {zone}: {steps}. {why}")
        yield words.format(zone=job.zone_names.get(zone, zone), steps=titles, why=steps[0].why)


def _trouble(order: WorkOrder, jobs: Mapping[JobId, Job], tz: tzinfo) -> Iterator[str]:
    """Yield what is wrong and the ways out, the cheapest first."""
    if order.trouble:
        yield order.trouble
    for way in order.ways_out:
        facts = {"way": way_title(jobs[way.job], way, tz=tz), "cost": cost_text(way, order.made_for, tz)}
        yield _("Way out: {way}. {cost}").format(**facts)


def _left_out(order: WorkOrder) -> dict[tuple[JobId, StepId], list[ZoneId]]:
    """Return the zones that each step is left out on."""
    found: dict[tuple[JobId, StepId], list[ZoneId]] = {}
    for left in order.left_out:
        found.setdefault((left.job, left.step), []).append(left.zone)
    return found


def stretches(steps: Iterable[PlannedStep], jobs: Mapping[JobId, Job]) -> list[WorkStretch]:
    """Return the steps by their start, with what one person does without a pause on several zones joined."""
    found: list[WorkStretch] = []
    latest: dict[Person | None, WorkStretch] = {}
    for step in sorted(steps, key=lambda s: s.start):
        job = jobs[step.job]
        title = step_title(job.recipe_of(step.zone), step.step)
        last = latest.get(step.person)
        if (
            last is None
            or (last.job, last.title, last.running) != (job, title, step.running)
            or step.start - last.end >= MINUTE
        ):
            last = latest[step.person] = WorkStretch(job, title, step.person, step.start, step.end, step.running)
            found.append(last)
        last.end = max(last.end, step.end)
        last.zones.append(job.zone_names.get(step.zone, step.zone))
    return found


def _table(order: WorkOrder, rows: list[WorkStretch], tz: tzinfo) -> Iterator[str]:
    people = max(len(_("person")), *(len(r.person or "") for r in rows))
    titles = max(len(_("step")), *(len(r.title) for r in rows))
    day = order.made_for.astimezone(tz).date()
    yield f"{', '.join(dict.fromkeys(r.job.name for r in rows))}, {day}"
    yield f"{_('time'):5}  {_('minute'):>6}  {_('person'):{people}}  {_('step'):{titles}}  {_('zones')}"
    for row in rows:
        if row.start.astimezone(tz).date() != day:
            day = row.start.astimezone(tz).date()
            yield str(day)
        minute = int((row.start - order.made_for) / MINUTE)
        begin = f"{clock_time(row.start, tz, seconds=False)}  {minute:>6}  {row.person or '–':{people}}  "
        yield from _wrapped(f"{begin}{row.title:{titles}}  ", _zones_text(row))


def _zones_text(row: WorkStretch) -> str:
    zones = ", ".join(row.zones)
    return _("{zones} (under way)").format(zones=zones) if row.running else zones


def _wrapped(begin: str, text: str) -> list[str]:
    return textwrap.wrap(text, max(WIDEST, len(begin) + 30), initial_indent=begin, subsequent_indent=" " * len(begin))


def _sums(order: WorkOrder, tz: tzinfo) -> Iterator[str]:
    def moment_text(moment: datetime) -> str:
        day = moment.astimezone(tz).date()
        of_day = clock_time(moment, tz, seconds=False)
        same = day == order.made_for.astimezone(tz).date()
        return f"{of_day if same else f'{day} {of_day}'} ({left_text(moment - order.made_for)})"

    if order.finish:
        yield _("Work done at {time}.").format(time=moment_text(order.finish))
    if order.status == "optimal":
        least_late = _(
            "No order that was found to be as little late for what was promised ends sooner; that is proven."
        )
        yield least_late if order.promised else _("No order ends sooner; that is proven.")
    if order.one_by_one:
        alone = moment_text(order.one_by_one)
        yield _("Zone after zone, every wait idled away, it would be {time}.").format(time=alone)
    if order.lapse_chance is not None:
        yield _("Chance of missing a latest moment, as work really varies: {chance:.0%}.").format(
            chance=order.lapse_chance
        )
    if order.finish_p90:
        yield _("On a slow day it is done by {time}; 1 day in 10 is slower still.").format(
            time=moment_text(order.finish_p90)
        )
    if order.safety_cost_s:
        yield _("It ends {later} later than the soonest order, so that fewer windows lapse.").format(
            later=left_text(timedelta(seconds=order.safety_cost_s))
        )
