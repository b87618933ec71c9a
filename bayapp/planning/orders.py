"""From a plan's seconds to a work order in instants, zones and names."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.model.recipe import Step
from bayapp.job.state.state import BayState
from bayapp.planning.core.plan import Plan
from bayapp.planning.core.table import Table
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.from_bay.crew import POOL, names_for
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.walk import NO_WAY, steps_between
from bayapp.planning.shared_touches import touches

OTHER_CAR = 2 * NO_WAY
OTHER_TOOL, OTHER_PRODUCT, OTHER_KIND = 3, 2, 1


class Ways:
    """What it costs a person to change from one task to another: the walk, and the change of tool or product."""

    def __init__(self, work: Work, state: BayState) -> None:
        self._work = work
        self._between = {job.job.id: steps_between(job.job.vehicle) for job in state.open_jobs}

    def __call__(self, here: str, there: str) -> int:
        """Return the cost: steps between neighbouring zones, more for another tool, product or kind of step."""
        a, b = self._work.rung_of[here], self._work.rung_of[there]
        walk = OTHER_CAR if a.job != b.job else self._between[a.job][a.zone].get(b.zone, NO_WAY)
        return walk + _changes(a.step, b.step)


def _changes(a: Step, b: Step) -> int:
    return (
        OTHER_TOOL * (a.tool != b.tool) + OTHER_PRODUCT * (a.product != b.product) + OTHER_KIND * (a.kind is not b.kind)
    )


def people_of(work: Work, plan: Plan, ways: Ways) -> dict[str, Person | None]:
    """Return who does each task; None if the jobs name nobody, or if nobody said who began it."""
    if not work.crew.people:
        return dict.fromkeys(plan.starts_s)
    if POOL not in work.problem.capacities:
        named = {task: Person(name) for task, name in plan.done_by.items()}
        leaders = {task: work.led_by.get(task, task) for task in plan.starts_s}
        return {task: named.get(first, work.given.get(first)) for task, first in leaders.items()}
    own = [t for t in work.problem.tasks if t.id not in work.led_by]
    spans = [(t.id, plan.starts_s[t.id], plan.starts_s[t.id] + t.duration_s) for t in own]
    named = names_for(spans, work.crew.people, work.given, ways)
    begun = {task: work.given.get(task) for task, rung in work.rung_of.items() if rung.run is not None}
    return {task: named[work.led_by.get(task, task)] for task in plan.starts_s} | begun


def planned_steps(work: Work, plan: Plan, people: Mapping[str, Person | None]) -> tuple[PlannedStep, ...]:
    """Return a plan's steps by their starts, those under way first."""
    table, numbers = Table(work.problem, plan), touches(work, plan, people)
    found = []
    for task in work.problem.tasks:
        rung = work.rung_of[task.id]
        opens, lapses = _window(work, table, task.id)
        found.append(
            PlannedStep(
                job=rung.job,
                zone=ZoneId(rung.zone),
                step=StepId(rung.step.id),
                person=people[task.id],
                start=rung.run.started_at if rung.run else work.moment(plan.starts_s[task.id]),
                end=work.moment(table.end(task.id)),
                opens_at=opens,
                lapses_at=lapses,
                running=rung.run is not None,
                touch=numbers[task.id],
            )
        )
    return tuple(sorted(found, key=lambda s: (not s.running, s.start, s.touch)))


def _window(work: Work, table: Table, task: str) -> tuple[datetime | None, datetime | None]:
    """Return the window in which a step may start in this plan; None if it waits for nothing."""
    own, rung = work.problem.task_of[task], work.rung_of[task]
    if rung.run is not None:
        return None, None
    led = work.led_by.get(task)
    waits = [lag for lag in table.lags[task] if lag.then == task and (lag.min_s > 0 or lag.max_s is not None)]
    waits = [lag for lag in waits if lag.first != led]
    opens = [table.anchor(lag) + lag.min_s for lag in waits if lag.min_s > 0]
    lapses = [table.anchor(lag) + lag.max_s for lag in waits if lag.max_s is not None]
    if own.earliest_s > 0:
        opens.append(own.earliest_s)
    if own.latest_s is not None:
        lapses.append(own.latest_s)
    return (
        work.moment(max(opens)) if opens else None,
        work.at + timedelta(seconds=min(lapses)) if lapses else None,
    )
