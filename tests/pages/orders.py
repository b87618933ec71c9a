"""Work orders for tests: steps set by hand, or a whole day laid out by the simplest rule there is."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from bayapp.job import BayState, JobState
from bayapp.job.model.ids import JobId, Person, SetName, StepId, ZoneId
from bayapp.job.model.recipe import Wait
from bayapp.planning.core.work_order import Loss, PlannedStep, Remedy, WayOut, WorkOrder

Key = tuple[JobId, ZoneId, StepId]
FAR = timedelta(days=365)


def planned(
    zone: str,
    step: str,
    start: datetime,
    minutes: float,
    by: str | None = "Ash",
    job: str = "practice-estate",
    **more: Any,
) -> PlannedStep:
    """One planned step, so many minutes long."""
    return PlannedStep(
        job=JobId(job),
        zone=ZoneId(zone),
        step=StepId(step),
        person=Person(by) if by else None,
        start=start,
        end=start + timedelta(minutes=minutes),
        **more,
    )


def order_of(made_for: datetime, *steps: PlannedStep, **more: Any) -> WorkOrder:
    """A plan of these steps that ends with the last of them."""
    head: dict[str, Any] = {"status": "feasible", "finish": max((s.end for s in steps), default=None), **more}
    return WorkOrder(made_for=made_for, steps=steps, **head)


@dataclass
class Day:
    """Lays out what is left: whoever is free takes what may begin soonest, of these what lapses first."""

    state: BayState
    at: datetime
    crew: tuple[Person, ...]
    spans: dict[Key, tuple[datetime, datetime]] = field(default_factory=dict)
    free_from: dict[tuple[JobId, ZoneId], datetime] = field(default_factory=dict)
    place: dict[tuple[JobId, ZoneId], int] = field(default_factory=dict)
    steps: list[PlannedStep] = field(default_factory=list)

    def lay_out(self) -> WorkOrder:
        free = dict.fromkeys(self.crew, self.at)
        for job in self.state.open_jobs:
            for zone in job.zones:
                self._take_over(job, zone, free)
        while True:
            by = min(free, key=lambda p: (free[p], p))
            best = min(self._ready(free[by]), key=lambda c: c[:3], default=None)
            if best is None:
                break
            start, lapses, _, job, zone, opens = best
            recipe = job.job.recipe_of(zone)
            step = recipe.step[self.place[job.job.id, zone]]
            end = start + timedelta(minutes=step.minutes)
            self._put(job, zone, StepId(step.id), by, start, end, opens, None if lapses - start > FAR / 2 else lapses)
            free[by] = end
        finish = max((s.end for s in self.steps), default=self.at)
        return WorkOrder(
            status="feasible",
            made_for=self.at,
            steps=tuple(sorted(self.steps, key=lambda s: (not s.running, s.start))),
            finish=finish,
            bound=finish - timedelta(minutes=4),
            one_by_one=finish + timedelta(hours=2, minutes=10),
            finish_p50=finish + timedelta(minutes=9),
            finish_p90=finish + timedelta(minutes=25),
            lapse_chance=0.03,
        )

    def _put(
        self, job: JobState, zone: ZoneId, step: StepId, by: Person | None, *when: Any, running: bool = False
    ) -> None:
        start, end, opens, lapses = when
        self.steps.append(
            PlannedStep(
                job=job.job.id,
                zone=zone,
                step=step,
                person=by,
                start=start,
                end=end,
                opens_at=opens,
                lapses_at=lapses,
                running=running,
            )
        )
        self._span(job.job.id, zone, step, start, end)
        self.place[job.job.id, zone] += 1

    def _span(self, job: JobId, zone: ZoneId, step: StepId, start: datetime, end: datetime) -> None:
        self.spans[job, zone, step] = (start, end)
        self.free_from[job, zone] = max(end, self.free_from.get((job, zone), end))

    def _take_over(self, job: JobState, zone: ZoneId, free: dict[Person, datetime]) -> None:
        known, recipe = job.zones[zone], job.job.recipe_of(zone)
        for run in (*known.runs,):
            self._span(job.job.id, zone, run.step, run.started_at, run.finished_at or self.at)
        self.place[job.job.id, zone] = len(known.rungs)
        under_way = known.running
        if under_way:
            run = under_way
            end = max(self.at, run.started_at + timedelta(minutes=recipe.named(run.step).minutes))
            self._put(job, zone, run.step, run.by, run.started_at, end, None, None, running=True)
            if run.by in free:
                free[run.by] = max(free[run.by], end)

    def _ready(self, now: datetime) -> Iterator[tuple[datetime, datetime, int, JobState, ZoneId, datetime | None]]:
        rank = 0
        for job in self.state.open_jobs:
            for zone in job.zones:
                rank += 1
                recipe, place = job.job.recipe_of(zone), self.place[job.job.id, zone]
                if place >= len(recipe.step):
                    continue
                window = self._window(job, zone, place)
                if window:
                    opens, lapses = window
                    free = self.free_from.get((job.job.id, zone), now)
                    yield max(now, free, opens or now), lapses, rank, job, zone, opens

    def _window(self, job: JobState, zone: ZoneId, place: int) -> tuple[datetime | None, datetime] | None:
        """Return opening and lapse; None while what the wait counts from is still to come."""
        recipe = job.job.recipe_of(zone)
        wait = recipe.step[place].wait
        if wait is None:
            return None, self.at + FAR
        anchors = [self.spans.get(key) for key in self._anchors(job, zone, place, wait)]
        if not anchors:
            return None, self.at + FAR
        if None in anchors:
            return None
        start, end = max((a for a in anchors if a), key=lambda a: a[1])
        latest = self.at + FAR if wait.latest is None else (start if wait.max_from == "start" else end) + wait.latest
        return end + wait.earliest, latest

    def _anchors(self, job: JobState, zone: ZoneId, place: int, wait: Wait) -> list[Key]:
        recipe, name = job.job.recipe_of(zone), job.job.id
        before = StepId(wait.after or recipe.step[place - 1].id)
        if wait.of is None:
            return [(name, zone, before)]
        if wait.of == "block":
            return [(name, z, before) for z in job.job.block_of[zone].zones]
        members = job.job.members(SetName(wait.of))
        return [(name, z, step) for z in members for step in job.job.recipe_of(z).counted_for_set(wait)]


LOST = Loss(
    job=JobId("practice-estate"),
    zone=ZoneId("windscreen"),
    step=StepId("coat-2"),
    lapses_at=datetime(2026, 11, 25, 9, 30, tzinfo=UTC),
)


def troubled(order: WorkOrder, **more: Any) -> WorkOrder:
    """The same plan, but that of the windscreen a window is missed, with three ways out."""
    head = {"job": LOST.job, "finish": order.finish}
    ways = (
        WayOut(remedy=Remedy.GO_ON, zones=(LOST.zone,), step=LOST.step, rework_s=540, price_s=540, **head),
        WayOut(remedy=Remedy.ASIDE, zones=(ZoneId("roof"),), price_s=1800, **head),
        WayOut(
            remedy=Remedy.ASIDE,
            zones=tuple(ZoneId(f"glass-{side}-{pane}") for side in ("left", "right") for pane in ("front", "rear")),
            later_s=600,
            price_s=7800,
            still="Bonnet: the moment of a step was missed, and somebody must look before work goes on.",
            **head,
        ),
    )
    wrong = "Coat (windscreen) cannot begin by 09:30 any more; solvent wipe comes again."
    said = {"trouble": wrong, "ways_out": ways, "losses": (LOST,), **more}
    return order.model_copy(update=said)


def day_order(state: BayState, at: datetime) -> WorkOrder:
    """A whole day's plan by the simplest rule; its figures of risk and saving are invented."""
    crew = tuple(dict.fromkeys(p for job in state.open_jobs for p in job.job.crew)) or (Person("Ash"),)
    return Day(state, at, crew).lay_out()
