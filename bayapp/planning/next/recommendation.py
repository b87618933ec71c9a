"""What to do next: the work order continued from now, each step checked with the gate."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bayapp.job import Advice, BayState, Start, ZoneClock, advise
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.gate import judge
from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.shut_out.shut_out import NOTHING, ShutOut
from bayapp.planning.core.work_order import Choice, Loss, PlannedStep, WorkOrder
from bayapp.planning.next.look_ahead import BayLookAhead
from bayapp.planning.next.time_buffer import TimeBuffer

EARLY = timedelta(seconds=20)
WEIGHED = 6
LATE = timedelta(minutes=2)
"""How long a step of the order waits for somebody who is at work longer than planned; then whoever is free has it."""
LOOK_AGAIN = timedelta(minutes=1)
"""How long a person rests for whom the order has something that cannot begin yet, nobody knows until when."""


@dataclass(frozen=True, slots=True)
class Recommendation:
    """A step that may be begun now, and the reasons for and against it.

    Attributes:
        planned: the work order has it as the next step of this person.
        takes: how long it is expected to take.
        coming: the same person's next step that still waits, so that one sees which wait this step fills.
        cost: how much later everything would be finished than by the work order; None if that is not known.
        losses: windows that could then no longer be kept.
        risks: windows that may then no longer be kept, as work can last longer than expected.
        shuts_out: what others could then not begin, where the order does not know of it.
    """

    advice: Advice
    planned: bool = False
    takes: timedelta | None = None
    coming: PlannedStep | None = None
    cost: timedelta | None = None
    losses: tuple[Loss, ...] = ()
    risks: tuple[Loss, ...] = ()
    shuts_out: ShutOut = NOTHING

    @property
    def at_stake(self) -> tuple[Loss, ...]:
        """What would, or else what may, come too late."""
        return self.losses or self.risks


Closes = Callable[[Start], bool]
"""Whether a step would close the way for others. The order knows of that, but not of a step taken before its turn."""


def _closes_nothing(start: Start) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Pause:
    """Nothing is to be begun now: the work order has this as the next step, and from when."""

    step: PlannedStep
    until: datetime


def recommended(
    state: BayState,
    order: WorkOrder | None,
    now: Collection[ZoneClock],
    by: Person | None,
    at: datetime,
    closes: Closes = _closes_nothing,
) -> tuple[tuple[Recommendation, ...], Pause | None]:
    """Return what a person may begin now, best first, and the pause that the work order has before the next step.

    Without an order, or if it does not fit any more, what lapses soonest goes first. While no plan holds, nothing is
    recommended but the next step of the cheapest way out: any other might close it.
    """
    free = advise(state, now, by, at)
    look_ahead = BayLookAhead(state, now, at, order.losses if order else ())
    ahead = _StepsToCome(state, now, order, look_ahead, closes)
    own = ahead.of(by)
    main, pause = ahead.next_or_late(own, by, at)
    found = [main] if main else []
    if order and order.stuck and order.ways_out and ahead.fresh():
        return tuple(found), None
    taken = {(main.advice.job, main.advice.step, z) for main in found for z in main.advice.zones}
    others = [a for a in free if not all((a.job, a.step, z) in taken for z in a.zones)]
    pressed = pause is not None or (main is not None and bool(main.at_stake))
    many = len(others) if pressed else WEIGHED  # a wall has room for one; where something is at stake all are looked at
    instead = [ahead.weighed(a, by) for a in others[:many]]
    instead.sort(key=_harm)
    if found or pause:
        instead.sort(key=lambda c: (*_harm(c), c.cost or timedelta()))
        missed = main.at_stake if main else look_ahead.missed_resting(by, pause.until) if pause else ()
        saving = None
        if missed and (main or not ahead.kept(at)):
            parts = [ahead.weighed(a, by) for a in _of_these(others, missed)]
            sure = main is None or bool(main.losses)
            saving = _saving([*instead, *parts], missed, sure=sure)
        if saving and not closes(_start(saving, by)):
            return (saving, *found, *(c for c in instead if c is not saving)), None
        if main and main.losses and (harmless := _harmless(instead, by, closes)):
            return (harmless, *found, *(c for c in instead if c is not harmless)), None
    if main and main.at_stake and (rest := ahead.rest_before(main, by, at)):
        return (*instead, main), rest
    return (*found, *instead, *(Recommendation(a) for a in others[many:])), pause


def _start(recommendation: Recommendation, by: Person | None) -> Start:
    advice = recommendation.advice
    return Start(advice.job, advice.zones, advice.step, by)


def _harm(recommendation: Recommendation) -> tuple[bool, bool]:
    return bool(recommendation.losses), bool(recommendation.risks)


def _of_these(others: Iterable[Advice], missed: Sequence[Loss]) -> Iterator[Advice]:
    """Yield what may be begun on only those of its zones whose windows would be missed, where these are not all."""
    windows = {loss.window for loss in missed}
    for one in others:
        pressing = tuple(z for z in one.zones if (one.job, z, one.step) in windows)
        if pressing and pressing != one.zones:
            yield replace(one, zones=pressing)


def _saving(instead: Sequence[Recommendation], missed: Sequence[Loss], *, sure: bool) -> Recommendation | None:
    """Return the step that keeps a window which would otherwise be missed, and that misses fewer itself.

    ``sure``: they would be missed for certain; then what may be missed by the step counts for less.
    """
    windows = {loss.window for loss in missed}
    saving = [
        c
        for c in instead
        if len(c.losses if sure else c.at_stake) < len(missed)
        and any((c.advice.job, z, c.advice.step) in windows for z in c.advice.zones)
    ]
    return min(saving, key=lambda c: (len(c.losses), len(c.risks)), default=None)


def _harmless(instead: Sequence[Recommendation], by: Person | None, closes: Closes) -> Recommendation | None:
    """Return the first step by which nothing comes too late, that which closes no way for others."""
    return next((c for c in instead if not c.at_stake and not closes(_start(c, by))), None)


def next_of(
    state: BayState,
    order: WorkOrder | None,
    now: Collection[ZoneClock],
    people: Iterable[Person],
    at: datetime,
    closes: Closes = _closes_nothing,
) -> dict[Person, tuple[Recommendation | None, Pause | None]]:
    """Return for each person what the work order has next, or the pause before it; neither if it has nothing."""
    ahead = _StepsToCome(state, now, order, BayLookAhead(state, now, at, order.losses if order else ()), closes)
    return {person: ahead.next_or_late(ahead.only(person), person, at) for person in people}


class _StepsToCome:
    """The steps of a work order that are still to come."""

    def __init__(
        self,
        state: BayState,
        now: Collection[ZoneClock],
        order: WorkOrder | None,
        look_ahead: BayLookAhead,
        closes: Closes = _closes_nothing,
    ) -> None:
        self.state, self.order, self.look_ahead, self._closes = state, order, look_ahead, closes
        self.clock_of = {(c.job, c.zone): c for c in now}
        self.steps = tuple(s for s in order.steps if self._to_come(s)) if order else ()
        self.time_buffer = TimeBuffer(state, self.steps, look_ahead, look_ahead.at)

    def _to_come(self, step: PlannedStep) -> bool:
        clock, job = self.clock_of.get((step.job, step.zone)), self.state.jobs.get(step.job)
        if clock is None or job is None or clock.step is None or clock.out:
            return False
        recipe = job.job.recipe_of(step.zone)
        if not recipe.has(step.step) or (clock.running and clock.running.step == step.step):
            return False
        again = min(map(recipe.position, clock.choices)) if clock.held else recipe.position(clock.step)
        here = recipe.group_of(again)
        place = recipe.position(step.step)
        done = {run.step for run in job.zones[step.zone].rungs} if place in here and len(here) > 1 else set()
        return place >= here.start and step.step not in done

    def of(self, by: Person | None) -> list[PlannedStep]:
        """Return one person's steps, or everybody's if nobody is named."""
        named = by is not None and any(s.person == by for s in self.steps)
        return [s for s in self.steps if not named or s.person == by]

    def only(self, person: Person) -> list[PlannedStep]:
        """Return the steps that are this person's and nobody else's."""
        return [s for s in self.steps if s.person == person]

    def fresh(self) -> bool:
        """Whether the order knows everything that has happened."""
        return self.order is not None and self.order.entry == self.state.last_at

    def kept(self, at: datetime) -> bool:
        """Whether the order knows everything that has happened, and nobody is behind it."""
        return self.fresh() and not any(s.start + LATE <= at for s in self.steps)

    def next_or_late(
        self, own: list[PlannedStep], by: Person | None, at: datetime
    ) -> tuple[Recommendation | None, Pause | None]:
        """Return a person's next touch; else one of another person who is late and still at work; else the pause."""
        main, pause = self.next_touch(own, by, at)
        if main or pause is None or pause.until <= at + LATE:
            return main, pause
        at_work = {clock.running.by for clock in self.clock_of.values() if clock.running}
        late = [s for s in self.steps if s.start + LATE <= at and s.person != by and s.person in at_work]
        taken, _ = self.next_touch(late, by, at)
        return (taken, None) if taken and not taken.at_stake else (main, pause)

    def next_touch(
        self, own: list[PlannedStep], by: Person | None, at: datetime
    ) -> tuple[Recommendation | None, Pause | None]:
        """Return what the order has next for a person, if the gate accepts it now; else the pause before it."""
        facts = BayFacts(self.state, at)
        passed: list[PlannedStep] = []
        losing: Recommendation | None = None
        goes_on = self._done_until(by, at)
        for group in _touches(own):
            first = group[0]
            if first.start > goes_on + EARLY:
                break
            ready = [s for s in group if self._is_next(s)]
            start = Start(first.job, tuple(s.zone for s in ready), first.step, by)
            takes = sum((s.end - s.start for s in group), timedelta())
            if ready and self._fits(passed, at + takes) and judge(start, facts).possible:
                rest = [s for s in own if s.touch != first.touch]
                losses = () if self.fresh() else self.look_ahead.missed(start, takes)
                risks = self.time_buffer.risks(start, takes)
                if risks and (part := self.time_buffer.part_of(start, takes)):
                    takes, losses, risks = takes * len(part.zones) / len(ready), (), ()
                    ready = [s for s in ready if s.zone in part.zones]
                elif losses and (part := self._part_that_loses_less(start, takes, len(losses))):
                    takes = takes * len(part.zones) / len(ready)
                    losses, risks = self.look_ahead.missed(part, takes), self.time_buffer.risks(part, takes)
                    ready = [s for s in ready if s.zone in part.zones]
                found = Recommendation(
                    self._advice(ready, at), True, takes, self._coming(rest, at), None, losses, risks
                )
                if not found.at_stake and not (losing and self._closes(start)):
                    return found, None
                losing = losing or found
            if losing or not self.fresh():
                goes_on = max(goes_on, *(s.end for s in group))
            passed += group
        return losing, None if losing else self._pause(own, at)

    def _part_that_loses_less(self, start: Start, takes: timedelta, losses: int) -> Start | None:
        """Return the step on those of its first zones that loses least, if that is less than on all of them.

        What is left behind counts among what is lost.
        """
        fewer = [replace(start, zones=start.zones[:number]) for number in range(len(start.zones) - 1, 0, -1)]
        lost = [len(self.look_ahead.missed(p, takes * len(p.zones) / len(start.zones))) for p in fewer]
        least = min(lost, default=losses)
        return fewer[lost.index(least)] if least < losses else None

    def rest_before(self, main: Recommendation, by: Person | None, at: datetime) -> Pause | None:
        """Return the pause that saves what is at stake if this is begun now; None if resting saves nothing."""
        start = Start(main.advice.job, main.advice.zones, main.advice.step, by)
        takes = main.takes or timedelta()
        if self.look_ahead.only_opens(start, takes):
            rest = self.time_buffer.rest(start, takes)
            return Pause(self._step_of(main), at + rest) if rest else None
        until = self._soonest_of(main.at_stake, at)
        if len(self.look_ahead.missed_resting(by, until)) >= len(main.at_stake):
            return None
        kept = self._lost(main.at_stake) or self._step_of(main)
        if self._closes(Start(kept.job, (kept.zone,), kept.step, by)):
            return None  # nobody rests for a step that would close the way for the one in hand
        return Pause(kept, until)

    def _soonest_of(self, losses: Sequence[Loss], at: datetime) -> datetime:
        """Return when the first of some windows opens, to wait for it; a moment from now if none is to open."""
        clocks = [c for loss in losses if (c := self.clock_of.get((loss.job, loss.zone)))]
        return min((c.opens_at for c in clocks if c.opens_at and c.opens_at > at), default=at + LOOK_AGAIN)

    def _lost(self, losses: Sequence[Loss]) -> PlannedStep | None:
        """Return the first step of the order that is among these."""
        windows = {loss.window for loss in losses}
        return next((s for s in self.steps if (s.job, s.zone, s.step) in windows), None)

    def _step_of(self, main: Recommendation) -> PlannedStep:
        advice = main.advice
        return next(s for s in self.steps if (s.job, s.step) == (advice.job, advice.step) and s.zone in advice.zones)

    def _done_until(self, by: Person | None, at: datetime) -> datetime:
        """Return until when a person was to work on what is now done or under way; the next step may begin sooner.

        A pause that the order has after that is kept until there is a newer order.
        """
        if self.order is None or self.fresh():
            return at
        to_come = set(map(id, self.steps))
        done = [s.end for s in self.order.steps if s.person == by and id(s) not in to_come]
        return max([at, *done])

    def _is_next(self, step: PlannedStep) -> bool:
        clock = self.clock_of[step.job, step.zone]
        return clock.running is None and step.step in clock.choices

    def weighed(self, advice: Advice, by: Person | None) -> Recommendation:
        """Return what a step costs that the order does not have next."""
        start = Start(advice.job, advice.zones, advice.step, by)
        minutes = self.state.jobs[advice.job].job.recipe_of(advice.zones[0]).named(advice.step).minutes
        takes = timedelta(minutes=minutes) * len(advice.zones)
        seen = self.look_ahead.missed(start, takes)
        risks = self.time_buffer.risks(start, takes)
        tried = self._tried(advice, by)
        if tried is None:
            return Recommendation(advice, False, takes, losses=seen, risks=risks)
        return Recommendation(advice, False, takes, None, timedelta(seconds=tried.cost_s), tried.losses or seen, risks)

    def _tried(self, advice: Advice, by: Person | None) -> Choice | None:
        for choice in self.order.choices if self.order and self.fresh() else ():
            same = (choice.job, choice.step, choice.zones) == (advice.job, advice.step, advice.zones)
            if same and choice.person in (by, None):
                return choice
        return None

    def _fits(self, passed: Sequence[PlannedStep], until: datetime) -> bool:
        """Whether what should come first, but cannot begin yet, can still begin once this is done."""
        clocks = [self.clock_of[s.job, s.zone] for s in passed if self._is_next(s)]
        return all(c.lapses_at is None or until <= c.lapses_at for c in clocks)

    def _advice(self, steps: Sequence[PlannedStep], at: datetime) -> Advice:
        clocks = [self.clock_of[s.job, s.zone] for s in steps]
        lapses = [c.lapses_at for c in clocks if c.lapses_at and c.urgency is not Urgency.LAPSED]
        since = [c.opens_at or c.since for c in clocks]
        urgency = max((c.urgency for c in clocks), key=list(Urgency).index)
        zones = tuple(ZoneId(s.zone) for s in steps)
        waited = min((s for s in since if s), default=at)
        return Advice(JobId(steps[0].job), zones, StepId(steps[0].step), urgency, min(lapses, default=None), waited)

    def _coming(self, rest: Sequence[PlannedStep], at: datetime) -> PlannedStep | None:
        """Return the soonest of the steps to come that waits for a known moment now."""
        waiting = [(c.opens_at, s) for s in rest if (c := self._waiting(s, at)) and c.opens_at]
        return min(waiting, key=lambda w: w[0], default=(None, None))[1]

    def _waiting(self, step: PlannedStep, at: datetime) -> ZoneClock | None:
        clock = self.clock_of[step.job, step.zone]
        return clock if clock.urgency is Urgency.WAITING and clock.opens_at and step.step in clock.choices else None

    def _pause(self, own: Sequence[PlannedStep], at: datetime) -> Pause | None:
        if not own:
            return None
        later = [(moment, step) for step in own if (moment := self._from(step)) > at]
        moment, step = later[0] if later else (at + LOOK_AGAIN, own[0])
        return Pause(step, moment)

    def _from(self, step: PlannedStep) -> datetime:
        opens = self.clock_of[step.job, step.zone].opens_at if self._is_next(step) else None
        return max(opens or step.start, step.start)


def _touches(steps: Sequence[PlannedStep]) -> Iterator[list[PlannedStep]]:
    """Yield steps by their touches, in the order of their first starts."""
    groups: dict[int, list[PlannedStep]] = {}
    for step in steps:
        groups.setdefault(step.touch, []).append(step)
    yield from sorted(groups.values(), key=lambda group: group[0].start)


def weighed(
    state: BayState,
    order: WorkOrder | None,
    now: Collection[ZoneClock],
    advice: Advice,
    by: Person | None,
    at: datetime,
) -> Recommendation:
    """Return what a step costs that the order does not have next: as the planner tried it out, else as one can see."""
    look_ahead = BayLookAhead(state, now, at, order.losses if order else ())
    return _StepsToCome(state, now, order, look_ahead).weighed(advice, by)
