"""From the bay as it stands to a problem: steps, waits, sets, bay rules, people, tools, hours."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.state.state import JobState, StepRun
from bayapp.planning.core.problem import Lag, LastOf, Problem, Promise, Task
from bayapp.planning.from_bay.air_of_day import Assumed, assumption_sentences, limits
from bayapp.planning.from_bay.at_work import seconds_left, tasks_at_work
from bayapp.planning.from_bay.batching import led_by
from bayapp.planning.from_bay.crew import POOL, Crew, closed_stretches
from bayapp.planning.from_bay.forbidden_intervals import forbidden
from bayapp.planning.from_bay.left_out import Planned, whole_s, window_s
from bayapp.planning.from_bay.promised import promises
from bayapp.planning.from_bay.remaining_operations import Key, Ladder, Rung, ladders, task_id
from bayapp.planning.from_bay.situation import Situation

LONGEST_AHEAD = timedelta(days=14)
SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Concessions:
    """What is not insisted on, so that the rest can be planned.

    Attributes:
        given_up: steps whose running window is given up, each with an instant at which it has lapsed.
        overtime_until: until then people stay, whatever the hours say.
        together: steps that are begun by one touch with the same step of all zones of their work block that stand
            before it, because they would lapse one after the other.
    """

    given_up: Mapping[Key, datetime] = field(default_factory=dict)
    overtime_until: datetime | None = None
    together: frozenset[Key] = frozenset()


NONE = Concessions()


@dataclass(frozen=True)
class Work:
    """A problem and what its tasks are in the words of the job.

    Attributes:
        rung_of: each task's step.
        given: who does what is under way.
        left_out: steps that cannot be planned: nobody can do them, or they wait for what will not happen.
        held: zones that nobody may go on with until a person has looked.
        led_by: tasks that begin and end with another, by the same touch and hands.
        assumed: sentences that say what is assumed about the air.
        forbidden: steps that are not done for a mark on their zone, or for one before them.
    """

    at: datetime
    problem: Problem
    crew: Crew
    rung_of: Mapping[str, Rung] = field(default_factory=dict)
    given: Mapping[str, Person] = field(default_factory=dict)
    left_out: tuple[Key, ...] = ()
    held: tuple[tuple[JobId, ZoneId], ...] = ()
    led_by: Mapping[str, str] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()
    forbidden: tuple[Key, ...] = ()

    def moment(self, seconds: int) -> datetime:
        """Return the instant that a second of the plan stands for."""
        return self.at + timedelta(seconds=seconds)


def work_of(situation: Situation, concessions: Concessions = NONE) -> Work:
    """Return what is left to do in the bay as a problem that begins at the instant of the situation."""
    return _Builder(situation, concessions).build()


class _Builder:
    def __init__(self, situation: Situation, concessions: Concessions) -> None:
        self.state, self.at = situation.state, situation.at
        self.shop, self.minutes = situation.shop, situation.minutes
        self.overtime_until = concessions.overtime_until
        self.ladders = ladders(self.state, self.at, concessions.given_up)
        self.crew = Crew.of(self.state, self.shop)
        self.planned = Planned(self.state, self.ladders, self.at, self.crew)
        self.rungs = self.planned.rungs
        self.led_by = led_by(self.ladders, self.rungs, concessions.together)
        self.left = seconds_left(self.rungs.values(), self.at, self._alone)
        self.lags: list[Lag] = []
        self.lasts: dict[tuple[object, ...], LastOf] = {}
        self.assumed: list[Assumed] = []
        self.limits: dict[Key, tuple[int, int | None]] = {}
        self.alike = self.crew.alike((self._job(r), r.step) for r in self.rungs.values() if r.run is None)

    def build(self) -> Work:
        """Join all the parts."""
        for ladder in self.ladders:
            self._climb(ladder)
        self.lags += [Lag(task_id(first), task_id(key), 0, 0, "start-start") for key, first in self.led_by.items()]
        running = tasks_at_work(self.rungs, self.left, self.crew, self.alike)
        tasks = [*running, *(self._task(r) for r in self.rungs.values() if r.run is None)]
        tools = {f"tool:{r.step.tool}": 1 for r in self.rungs.values() if r.step.tool}
        capacities = {**self.crew.hands(self.alike), **tools}
        problem = Problem(
            tuple(tasks),
            tuple(self.lags),
            capacities,
            tuple(self.lasts.values()),
            forbidden(self.state, self.ladders, self.rungs, self.at, self._lasting),
            self._closed(capacities),
            self._promises(),
        )
        names = {task_id(key): rung for key, rung in self.rungs.items()}
        given = {task_id(key): r.run.by for key, r in self.rungs.items() if r.run is not None and r.run.by is not None}
        led = {task_id(key): task_id(first) for key, first in self.led_by.items()}
        left_out, assumed = tuple(self.planned.left_out), assumption_sentences(self.assumed)
        held = tuple((ladder.job.job.id, ladder.zone) for ladder in self.ladders if ladder.held)
        by_mark = tuple(key for ladder in self.ladders for key in ladder.forbidden)
        return Work(self.at, problem, self.crew, names, given, left_out, held, led, assumed, by_mark)

    def _promises(self) -> tuple[Promise, ...]:
        ahead: dict[tuple[JobId, ZoneId], list[str]] = defaultdict(list)
        for ladder in self.ladders:
            ahead[ladder.job.job.id, ladder.zone] += [task_id(r.key) for r in ladder.rungs if r.key in self.rungs]
        return promises(self.state, self.at, ahead)

    def _job(self, rung: Rung) -> JobState:
        return self.state.jobs[rung.job]

    # Waits.

    def _climb(self, ladder: Ladder) -> None:
        before: Rung | None = None
        for rung in (r for r in ladder.rungs if r.key in self.rungs):
            if before is not None:
                self.lags.append(Lag(task_id(before.key), task_id(rung.key)))
            if rung.not_before is not None:
                self._limit(rung, self._from_now(rung.not_before, up=True), None)
            if rung.wait is not None:
                self._wait(rung)
                self.assumed += [rung.assumed] if rung.assumed else []
            before = rung

    def _wait(self, rung: Rung) -> None:
        """Add a wait that counts from the last of several, some of which may have ended already."""
        counted = self.planned.counted(rung)
        last_over = max(counted.over, key=lambda of: of[1].finished_at or of[1].started_at, default=None)
        if not counted.ahead:
            if last_over is not None:
                self._count_from(rung, *last_over)
        elif len(counted.ahead) == 1:
            self._count_from_one(rung, counted.ahead[0])
        else:
            self._count_from_last(rung, counted.ahead, last_over[1] if last_over else None)

    def _count_from_one(self, rung: Rung, key: Key) -> None:
        assert rung.wait
        first, then, (low, high) = task_id(key), task_id(rung.key), window_s(rung.wait)
        run = self.rungs[key].run
        if high is None or rung.wait.max_from == "end":
            self.lags.append(Lag(first, then, low, high))
        elif run is not None and rung.written is not None:
            self.lags.append(Lag(first, then, low))
            latest = limits(self._job(rung), key[1], run, rung.written, self.at)[1]
            self._limit(rung, 0, None if latest is None else self._from_now(latest))
        else:
            self.lags += [Lag(first, then, low), Lag(first, then, 0, high, "start-start")]

    def _count_from_last(self, rung: Rung, ahead: tuple[Key, ...], last_over: StepRun | None) -> None:
        assert rung.wait
        tasks = tuple(map(task_id, ahead))
        over = None if last_over is None or last_over.finished_at is None else self._from_now(last_over.finished_at)
        last = self.lasts.setdefault((tasks, over), LastOf(f"last {len(self.lasts) + 1}", tasks, over))
        low, high = window_s(rung.wait)
        longest = max(ahead, key=lambda key: self._whole_length(self.rungs[key]))
        if high is not None and rung.wait.max_from == "start":  # on the safe side: the last to end may be the longest
            high -= self._whole_length(self.rungs[longest])
        if high is None or high >= low:
            self.lags.append(Lag(last.id, task_id(rung.key), low, high))
        else:  # both cannot hold, and are named as what clashes
            self.lags.append(Lag(last.id, task_id(rung.key), low))
            self.lags.append(Lag(task_id(longest), task_id(rung.key), min(0, high), high))

    def _whole_length(self, rung: Rung) -> int:
        gone = timedelta() if rung.run is None else self.at - rung.run.started_at
        return self._lasting(rung) + whole_s(gone, up=True)

    def _count_from(self, rung: Rung, zone: ZoneId, run: StepRun) -> None:
        """Add a wait that counts from a run that has ended, under the readings since then."""
        assert rung.written
        opens, lapses, assumed = limits(self._job(rung), zone, run, rung.written, self.at)
        self.assumed += [assumed] if assumed else []
        self._limit(rung, self._from_now(opens, up=True), None if lapses is None else self._from_now(lapses))

    def _limit(self, rung: Rung, earliest: int, latest: int | None) -> None:
        low, high = self.limits.get(rung.key, (0, None))
        tighter = [m for m in (high, latest) if m is not None]
        self.limits[rung.key] = max(low, earliest), min(tighter, default=None)

    def _from_now(self, moment: datetime, up: bool = False) -> int:
        return whole_s(moment - self.at, up)

    # Tasks, hands and tools.

    def _duration(self, rung: Rung) -> int:
        """Return whole seconds; a step that is begun together with others ends with the last of them."""
        leader = self.led_by.get(rung.key, rung.key)
        joined = [key for key, first in self.led_by.items() if first == leader]
        return sum(self._alone(self.rungs[key]) for key in (leader, *joined)) if joined else self._alone(rung)

    def _alone(self, rung: Rung) -> int:
        expected = timedelta(minutes=self.minutes(self._job(rung).job, rung.zone, rung.step))
        return max(1, round(expected / SECOND))

    def _lasting(self, rung: Rung) -> int:
        return self.left[rung.key] if rung.run is not None else self._duration(rung)

    def _task(self, rung: Rung) -> Task:
        uses = {f"tool:{rung.step.tool}": 1} if rung.step.tool else {}
        earliest, latest = self.limits.get(rung.key, (0, None))
        able: tuple[str, ...] = ()
        if rung.key in self.led_by:
            uses = {}
        elif self.alike:
            uses = {POOL: 1, **uses}
        else:
            able = tuple(map(str, self.crew.able(self._job(rung), rung.step)))
        return Task(task_id(rung.key), self._duration(rung), uses, able, earliest, latest, rung.step.id)

    def _closed(self, capacities: Mapping[str, int]) -> dict[str, tuple[tuple[int, int], ...]]:
        """Return when people are away; whoever is at work finishes the step first."""
        at_work = self.at + timedelta(seconds=max(self.left.values(), default=0))
        open_until = max(at_work, self.overtime_until or self.at, self.state.stays_until or self.at)
        stretches = closed_stretches(self.shop, self.at, self.at + LONGEST_AHEAD, open_until)
        return {r: stretches for r in capacities if not r.startswith("tool:")} if stretches else {}
