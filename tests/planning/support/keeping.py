"""How many of the windows that run in a bay can be kept, by an exact look of its own.

It takes the steps that must begin within a latest moment that runs, or that will run once such a step is done, and lets
CP-SAT share them out: expected times, one pair of hands for each of the crew, no coat while dust flies, and of a work
block either each zone by itself or all by one touch. What has no latest moment, or 40 minutes yet, is left for later.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil

from ortools.sat.python import cp_model

from bayapp.job import BayState, ZoneClock, clocks
from bayapp.job.model.ids import JobId, StepId, StepKind, ZoneId
from bayapp.job.model.recipe import Step

MILLISECOND = timedelta(milliseconds=1)
PRESSING = timedelta(minutes=40)
FAR = 1 << 40
LONGEST_LOOK = 5.0
ROUNDING = 1e-6


@dataclass(frozen=True)
class _Item:
    """A step that must begin in a window; ``before`` is the item that the window counts from."""

    job: JobId
    zone: ZoneId
    step: Step
    opens: int
    lapses: int
    before: "_Item | None" = None

    @property
    def length(self) -> int:
        return round(timedelta(minutes=self.step.minutes) / MILLISECOND)


def fewest_lost(state: BayState, at: datetime) -> tuple[int, int]:
    """Return how many windows must lapse at least, from ``at`` on, if everybody does only what has a latest moment.

    These are two numbers, between which it lies; they are one where the look has come to its end.
    """
    look = _Look(state, at)
    return look.fewest_lost() if look.items else (0, 0)


class _Look:
    def __init__(self, state: BayState, at: datetime) -> None:
        self.state, self.at = state, at
        self.now = clocks(state, at)
        self.model = cp_model.CpModel()
        self.free, self.dust = self._at_work()
        self.items = [item for clock in self.now for item in self._chain(clock)]

    def _ms(self, moment: datetime) -> int:
        return round((moment - self.at) / MILLISECOND)

    def _at_work(self) -> tuple[list[int], int]:
        """Return until when each of the crew is at work, and until when dust flies."""
        free = {p: 0 for job in self.state.open_jobs for p in job.job.crew}
        dust = 0
        for clock in self.now:
            if clock.running:
                ends = self._ends(clock)
                if clock.running.by in free:
                    free[clock.running.by] = max(free[clock.running.by], ends)
                if self._step(clock, clock.running.step).makes_dust:
                    dust = max(dust, ends)
        return list(free.values()), dust

    def _step(self, clock: ZoneClock, step: StepId) -> Step:
        return self.state.jobs[clock.job].job.recipe_of(clock.zone).named(step)

    def _ends(self, clock: ZoneClock) -> int:
        """Return when a running touch is expected to end: all of its zones together."""
        run = clock.running
        assert run
        touch = [c for c in self.now if c.running and (c.running.by, c.running.started_at) == (run.by, run.started_at)]
        whole = timedelta(minutes=sum(self._step(c, run.step).minutes for c in touch))
        return max(0, self._ms(run.started_at + whole))

    def _chain(self, clock: ZoneClock) -> Iterator[_Item]:
        """Yield what must begin in a window on a zone, one after the other, up to what may wait."""
        item: _Item | None = None
        if clock.running:
            then = self._then(clock.job, clock.zone, clock.running.step)
            if then is not None and _latest(then) <= PRESSING / MILLISECOND:
                begun, ends = self._ms(clock.running.started_at), self._ends(clock)
                lapses = (begun if _from_start(then) else ends) + _latest(then)
                item = _Item(clock.job, clock.zone, then, ends + _earliest(then), lapses)
        elif clock.lapses_at and clock.step and not clock.lapses and not clock.aside:
            if clock.lapses_at > self.at + PRESSING:
                return
            opens = max(0, self._ms(clock.opens_at or self.at))
            item = _Item(clock.job, clock.zone, self._step(clock, clock.step), opens, self._ms(clock.lapses_at))
        while item is not None:
            yield item
            then = self._then(item.job, item.zone, StepId(item.step.id))
            item = (
                None
                if then is None or _latest(then) > PRESSING / MILLISECOND
                else _Item(item.job, item.zone, then, 0, FAR, item)
            )

    def _then(self, job: JobId, zone: ZoneId, step: StepId) -> Step | None:
        """Return what must follow on a step within a latest moment that counts from it."""
        recipe = self.state.jobs[job].job.recipe_of(zone)
        here = recipe.group_of(recipe.position(step))
        if here.stop >= len(recipe.step) or len(here) > 1:
            return None
        wait = recipe.step[here.stop].wait
        if wait is None or wait.latest is None or wait.of is not None or wait.after not in (None, step):
            return None
        return recipe.step[here.stop]

    # The model.

    def fewest_lost(self) -> tuple[int, int]:
        """Let CP-SAT share out the work."""
        longest = sum(i.length + (_earliest(i.step) if i.before else 0) for i in self.items)
        horizon = longest + max([*self.free, *(i.opens for i in self.items), self.dust])
        self.start = {i: self.model.new_int_var(0, horizon, "") for i in self.items}
        self.end = {i: self.model.new_int_var(0, horizon, "") for i in self.items}
        self.kept = {i: self.model.new_bool_var("") for i in self.items}
        spans = [self.model.new_fixed_size_interval_var(0, busy, "") for busy in self.free if busy]
        groups: dict[tuple[object, ...], list[_Item]] = defaultdict(list)
        for item in self.items:
            groups[item.job, self.state.jobs[item.job].job.block_of[item.zone].zones[0], item.step.id].append(item)
        for group in groups.values():
            spans += self._touches(group, horizon)
            self._in_turn(group)
        self.model.add_cumulative(spans, [1] * len(spans), len(self.free))
        for item in self.items:
            self._window(item)
        self.model.minimize(sum((1 if i.before is None else self.kept[i.before]) - self.kept[i] for i in self.items))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = LONGEST_LOOK
        found = solver.solve(self.model)
        assert found in (cp_model.OPTIMAL, cp_model.FEASIBLE), f"everything may lapse, and yet it is {found}"
        return ceil(solver.best_objective_bound - ROUNDING), round(solver.objective_value)

    def _touches(self, group: list[_Item], horizon: int) -> Iterator[cp_model.IntervalVar]:
        """Yield the hands' work on some zones of a block: each by itself, or what is kept of them by one touch."""
        joined = self.model.new_bool_var("")
        if len(group) == 1:
            self.model.add(joined == 0)
        whole = self.model.new_int_var(0, sum(i.length for i in group), "")
        self.model.add(whole == sum(i.length * self.kept[i] for i in group))
        touch, over = self.model.new_int_var(0, horizon, ""), self.model.new_int_var(0, horizon, "")
        yield self.model.new_optional_interval_var(touch, whole, over, joined, "")
        for item in group:
            alone, kept = self.model.new_bool_var(""), self.kept[item]
            self.model.add_bool_and([kept, joined.negated()]).only_enforce_if(alone)
            self.model.add_bool_or([alone, kept.negated(), joined])
            yield self.model.new_optional_interval_var(self.start[item], item.length, self.end[item], alone, "")
            self.model.add(self.start[item] == touch).only_enforce_if(joined, kept)
            self.model.add(self.end[item] == over).only_enforce_if(joined, kept)

    def _in_turn(self, group: list[_Item]) -> None:
        """Of two zones alike, the one whose window lapses sooner is begun first; that loses no way of keeping both."""
        first = sorted((i for i in group if i.before is None), key=lambda i: (i.lapses, i.opens))
        for one, other in pairwise(first):
            if one.opens <= other.opens and one.length == other.length:
                both = [self.kept[one], self.kept[other]]
                self.model.add(self.start[one] <= self.start[other]).only_enforce_if(both)

    def _window(self, item: _Item) -> None:
        kept, start = self.kept[item], self.start[item]
        if item.step.kind is StepKind.COAT:
            self.model.add(start >= self.dust).only_enforce_if(kept)
        if item.before is None:
            self.model.add(start >= item.opens).only_enforce_if(kept)
            self.model.add(start <= item.lapses).only_enforce_if(kept)
            return
        self.model.add_implication(kept, self.kept[item.before])
        counted = (self.start if _from_start(item.step) else self.end)[item.before]
        self.model.add(start >= self.end[item.before] + _earliest(item.step)).only_enforce_if(kept)
        self.model.add(start <= counted + _latest(item.step)).only_enforce_if(kept)


def _earliest(step: Step) -> int:
    return round(step.wait.earliest / MILLISECOND) if step.wait else 0


def _latest(step: Step) -> int:
    assert step.wait
    assert step.wait.latest
    return round(step.wait.latest / MILLISECOND)


def _from_start(step: Step) -> bool:
    return step.wait is not None and step.wait.max_from == "start"
