"""From the bay as it stands to a problem: steps, waits, sets, bay rules, people, tools, hours. Knows no solver."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bayapp.job.job import Job
from bayapp.job.recipe import Step
from bayapp.job.state import BayState, JobState, StepRun
from bayapp.job.words import JobId, Person, StepId, ZoneId
from bayapp.planning.ahead import Key, Ladder, Rung, ladders
from bayapp.planning.crew import POOL, Crew, closed_stretches
from bayapp.planning.peace import guards, never_covered
from bayapp.planning.problem import Lag, LastOf, Problem, Task
from bayapp.planning.shop import Shop

LEAST_LEFT = timedelta(seconds=30)
LONGEST_AHEAD = timedelta(days=14)

Minutes = Callable[[Job, ZoneId, Step], float]


def as_written(job: Job, zone: ZoneId, step: Step) -> float:
    """Return the minutes that the recipe expects."""
    return step.minutes


@dataclass(frozen=True)
class Work:
    """A problem and what its tasks are in the words of the job.

    Attributes:
        rung_of: each task's step.
        given: who does what is under way.
        left_out: steps that cannot be planned: held until a person looks, or waiting for such a one.
        led_by: tasks that begin and end with another, by the same touch and hands.
    """

    at: datetime
    problem: Problem
    crew: Crew
    rung_of: Mapping[str, Rung] = field(default_factory=dict)
    given: Mapping[str, Person] = field(default_factory=dict)
    left_out: tuple[Key, ...] = ()
    led_by: Mapping[str, str] = field(default_factory=dict)

    def moment(self, seconds: int) -> datetime:
        """Return the instant that a second of the plan stands for."""
        return self.at + timedelta(seconds=seconds)


def task_id(key: Key) -> str:
    """Return the name of a step in a problem."""
    return "/".join(key)


def work_of(
    state: BayState,
    at: datetime,
    shop: Shop,
    minutes: Minutes = as_written,
    let_go: Mapping[tuple[JobId, ZoneId], datetime] | None = None,
    overtime_until: datetime | None = None,
    together: frozenset[Key] = frozenset(),
) -> Work:
    """Return what is left to do in the bay as a problem that begins at ``at``.

    Args:
        minutes: how long a step of a zone is expected to take.
        let_go: zones whose running window is given up, and from when they have fallen back.
        overtime_until: until then people stay, whatever the hours say.
        together: steps that are begun by one touch with the same step of all zones of their work block that stand
            before it, because they would lapse one after the other.
    """
    return _Builder(state, at, shop, minutes, let_go or {}, overtime_until, together).build()


class _Builder:
    def __init__(
        self,
        state: BayState,
        at: datetime,
        shop: Shop,
        minutes: Minutes,
        let_go: Mapping[tuple[JobId, ZoneId], datetime],
        overtime_until: datetime | None,
        together: frozenset[Key],
    ) -> None:
        self.state, self.at, self.shop, self.minutes = state, at, shop, minutes
        self.overtime_until, self.let_go = overtime_until, let_go
        self.ladders = ladders(state, at, let_go)
        self.crew = Crew.of(state, shop)
        self.rungs: dict[Key, Rung] = {r.key: r for ladder in self.ladders for r in ladder.rungs}
        self.never_covered = frozenset(never_covered(state, self.ladders, at))
        self.left_out = self._without_what_cannot_be()
        self.led_by = self._led_by(together)
        self.lags: list[Lag] = []
        self.lasts: dict[tuple[object, ...], LastOf] = {}
        self.limits: dict[Key, tuple[int, int | None]] = {}
        self.given: dict[str, Person] = {}
        self.alike = self.crew.alike((self._job(r), r.step) for r in self.rungs.values() if r.run is None)

    def build(self) -> Work:
        """Join all the parts."""
        for ladder in self.ladders:
            self._climb(ladder)
        for key, first in self.led_by.items():
            self.lags.append(Lag(task_id(first), task_id(key), 0, 0, "start-start"))
        tasks = [*self._running(), *(self._task(r) for r in self.rungs.values() if r.run is None)]
        tools = {f"tool:{r.step.tool}": 1 for r in self.rungs.values() if r.step.tool}
        capacities = {**self.crew.hands(self.alike), **tools}
        problem = Problem(
            tuple(tasks),
            tuple(self.lags),
            capacities,
            tuple(self.lasts.values()),
            guards(self.state, self.ladders, self.rungs, self.at),
            self._closed(tasks, capacities),
        )
        names = {task_id(key): rung for key, rung in self.rungs.items()}
        led_by = {task_id(key): task_id(first) for key, first in self.led_by.items()}
        return Work(self.at, problem, self.crew, names, self.given, self.left_out, led_by)

    def _job(self, rung: Rung) -> JobState:
        return self.state.jobs[rung.job]

    def _without_what_cannot_be(self) -> tuple[Key, ...]:
        """Leave out what nobody can do, what waits for zones that are held, and all above those on their ladders."""
        out: list[Key] = []
        again = True
        while again:
            again = False
            for ladder in self.ladders:
                kept = [r for r in ladder.rungs if r.key in self.rungs]
                stuck = next((i for i, r in enumerate(kept) if not self._can_be(r)), len(kept))
                for rung in kept[stuck:]:
                    del self.rungs[rung.key]
                    out.append(rung.key)
                    again = True
        return tuple(out)

    def _can_be(self, rung: Rung) -> bool:
        if rung.run is not None:
            return True
        job = self._job(rung)
        if self.crew.people and not self.crew.able(job, rung.step):
            return False
        if (rung.step.makes_dust or rung.step.makes_wet) and self.never_covered - {(rung.job, rung.zone)}:
            return False
        return all((rung.job, z, s) in self.rungs or self._done(job, rung, z, s) for z, s in rung.anchors)

    @staticmethod
    def _done(job: JobState, rung: Rung, zone: ZoneId, step: StepId) -> StepRun | None:
        zone_state = job.zones[zone]
        return zone_state.last_finished(step) if zone == rung.zone else zone_state.first_finished(step)

    def _led_by(self, together: frozenset[Key]) -> dict[Key, Key]:
        """Return for each step that is begun by another's touch, which one that is."""
        leaders: dict[tuple[object, ...], Key] = {}
        found: dict[Key, Key] = {}
        touched = {(self.rungs[k].job, self.rungs[k].block, self.rungs[k].step.id) for k in together if k in self.rungs}
        for ladder in self.ladders:
            rung = next(iter(ladder.rungs), None)
            if rung is None or rung.run is not None or rung.key not in self.rungs:
                continue
            touch = rung.job, rung.block, rung.step.id
            if touch in touched and leaders.setdefault(touch, rung.key) != rung.key:
                found[rung.key] = leaders[touch]
        return found

    # Waits.

    def _climb(self, ladder: Ladder) -> None:
        before: Rung | None = None
        for rung in (r for r in ladder.rungs if r.key in self.rungs):
            if before is not None:
                self.lags.append(Lag(task_id(before.key), task_id(rung.key)))
            if rung.not_before is not None:
                self._limit(rung, self._from_now(rung.not_before) + 1, None)
            if rung.wait is not None:
                self._wait(rung)
            before = rung

    def _wait(self, rung: Rung) -> None:
        assert rung.wait
        if rung.own_anchor is not None:
            self._wait_for_own(rung, rung.own_anchor)
        elif rung.anchors:
            self._wait_for_others(rung)

    def _wait_for_own(self, rung: Rung, anchor: StepId) -> None:
        wait, key = rung.wait, (rung.job, rung.zone, anchor)
        assert wait
        waited_for = self.rungs.get(key)
        if waited_for is None:
            run = self._job(rung).zones[rung.zone].last_finished(anchor)
            if run is not None:
                self._count_from(rung, run)
            return
        low, high = _whole(wait.earliest, up=True), None if wait.latest is None else _whole(wait.latest)
        if high is None or wait.max_from == "end":
            self.lags.append(Lag(task_id(key), task_id(rung.key), low, high))
            return
        self.lags.append(Lag(task_id(key), task_id(rung.key), low))
        if waited_for.run is not None and wait.latest is not None:
            self._limit(rung, 0, self._from_now(waited_for.run.started_at + wait.latest))
        else:
            self.lags.append(Lag(task_id(key), task_id(rung.key), 0, high, "start-start"))

    def _wait_for_others(self, rung: Rung) -> None:
        """Count from the last of several zones, some of which may be done already."""
        wait, job = rung.wait, self._job(rung)
        assert wait
        ahead = [(rung.job, z, s) for z, s in rung.anchors if self._counts_ahead(rung, z, s)]
        done = [run for z, s in rung.anchors if (rung.job, z, s) not in ahead and (run := self._done(job, rung, z, s))]
        last_done = max(done, key=lambda run: run.finished_at or run.started_at, default=None)
        if not ahead:
            if last_done is not None:
                self._count_from(rung, last_done)
            return
        tasks = tuple(task_id(key) for key in ahead)
        floor = None if last_done is None or last_done.finished_at is None else self._from_now(last_done.finished_at)
        signature = (rung.job, tasks, floor)
        last = self.lasts.setdefault(signature, LastOf(f"last {len(self.lasts) + 1}", tasks, floor))
        low, high = _whole(wait.earliest, up=True), None if wait.latest is None else _whole(wait.latest)
        if high is not None and wait.max_from == "start":  # on the safe side: the last to end may be the longest
            high = max(low, high - max(self._duration(self.rungs[key]) for key in ahead))
        self.lags.append(Lag(last.id, task_id(rung.key), low, high))

    def _counts_ahead(self, rung: Rung, zone: ZoneId, step: StepId) -> bool:
        """Whether a wait will count from a run still to come: of its own zone the latest, of others the first."""
        if (rung.job, zone, step) not in self.rungs:
            return False
        return zone == rung.zone or self._done(self._job(rung), rung, zone, step) is None

    def _count_from(self, rung: Rung, run: StepRun) -> None:
        """Count from a run that is over."""
        assert rung.wait
        assert run.finished_at
        wait = rung.wait
        latest = None
        if wait.latest is not None:
            latest = self._from_now((run.started_at if wait.max_from == "start" else run.finished_at) + wait.latest)
        opens = run.finished_at + wait.earliest
        self._limit(rung, _whole(max(opens, self.at) - self.at, up=True), latest)

    def _limit(self, rung: Rung, earliest: int, latest: int | None) -> None:
        low, high = self.limits.get(rung.key, (0, None))
        if (rung.job, rung.zone) in self.let_go:
            latest = None
        tighter = [m for m in (high, latest) if m is not None]
        self.limits[rung.key] = max(low, earliest), min(tighter, default=None)

    def _from_now(self, moment: datetime) -> int:
        return _whole(moment - self.at)

    # Tasks, hands and tools.

    def _duration(self, rung: Rung) -> int:
        """Return whole seconds; a step that is begun together with others ends with the last of them."""
        leader = self.led_by.get(rung.key, rung.key)
        joined = [key for key, first in self.led_by.items() if first == leader]
        return sum(self._alone(self.rungs[key]) for key in (leader, *joined)) if joined else self._alone(rung)

    def _alone(self, rung: Rung) -> int:
        expected = timedelta(minutes=self.minutes(self._job(rung).job, rung.zone, rung.step))
        return max(1, round(expected / timedelta(seconds=1)))

    def _task(self, rung: Rung) -> Task:
        uses = {f"tool:{rung.step.tool}": 1} if rung.step.tool else {}
        earliest, latest = self.limits.get(rung.key, (0, None))
        if rung.key in self.led_by:
            return Task(task_id(rung.key), self._duration(rung), {}, (), earliest, latest)
        if self.alike:
            return Task(task_id(rung.key), self._duration(rung), {POOL: 1, **uses}, (), earliest, latest)
        able = tuple(map(str, self.crew.able(self._job(rung), rung.step)))
        return Task(task_id(rung.key), self._duration(rung), uses, able, earliest, latest)

    def _running(self) -> Iterable[Task]:
        """Yield what is under way: zones begun by one touch end together, and hold one pair of hands."""
        touches: dict[tuple[object, ...], list[Rung]] = defaultdict(list)
        for rung in self.rungs.values():
            if rung.run is not None:
                touches[rung.job, rung.step.id, rung.run.by, rung.run.started_at].append(rung)
        taken: dict[str, int] = defaultdict(int)
        free = self.crew.hands(self.alike)
        for group in touches.values():
            left = self._left(group)
            for number, rung in enumerate(group):
                wanted = self._holds(rung) if number == 0 else ()
                uses = {r: 1 for r in wanted if taken[r] < free.get(r, 1)}
                for resource in uses:
                    taken[resource] += 1
                assert rung.run
                if rung.run.by is not None:
                    self.given[task_id(rung.key)] = rung.run.by
                yield Task(task_id(rung.key), left, uses, (), 0, 0)

    def _holds(self, rung: Rung) -> list[str]:
        assert rung.run
        named = str(rung.run.by) if rung.run.by in self.crew.people else None
        hands = POOL if self.alike else named
        return [r for r in (hands, f"tool:{rung.step.tool}" if rung.step.tool else None) if r]

    def _left(self, group: list[Rung]) -> int:
        """Return how long a touch is still expected to take: never less than a tenth of it, nor half a minute."""
        whole = timedelta(seconds=sum(self._duration(r) for r in group))
        run = group[0].run
        assert run
        return _whole(max(whole - (self.at - run.started_at), whole / 10, LEAST_LEFT), up=True)

    def _closed(self, tasks: list[Task], capacities: Mapping[str, int]) -> dict[str, tuple[tuple[int, int], ...]]:
        busy = max((t.duration_s for t in tasks if t.latest_s == 0 and t.earliest_s == 0 and t.uses), default=0)
        running = any(r.run is not None for r in self.rungs.values())
        at_work = self.at + timedelta(seconds=busy if running else 0)
        open_until = max(at_work, self.overtime_until or self.at)
        stretches = closed_stretches(self.shop, self.at, self.at + LONGEST_AHEAD, open_until)
        return {r: stretches for r in capacities if not r.startswith("tool:")} if stretches else {}


def _whole(length: timedelta, up: bool = False) -> int:
    """Return whole seconds, rounded to the side on which no wait is broken."""
    second = timedelta(seconds=1)
    return -(-length // second) if up else length // second
