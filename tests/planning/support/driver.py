"""People who work a bay by what the wall says, and a planner that answers late.

Nobody hesitates: who is free looks at the wall, presses what it says, and presses again when the work is done. How long
that truly takes is drawn once for each step of each zone, whatever is done before: what the recipe expects times a
factor that is even between 0.6 and 1.4, so that none is off by more than 40 %.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random

from bayapp.bay.advice import LOOKED_AT
from bayapp.job import BayState, FinishStep, ReadAir, Request, ShelveBottle, Start, Verdict, ZoneClock
from bayapp.job.gate.place_gate import answers_to
from bayapp.job.model.ids import JobId, Person, StepId, StepKind, ZoneId
from bayapp.job.model.job import Job
from bayapp.job.model.recipe import Step
from bayapp.pages.board.next_step import Offer, offers
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning import remedies
from bayapp.planning.core.work_order import WorkOrder
from bayapp.planning.next.recommendation import Pause, Recommendation
from tests.pages.bays import HandBay

OFF = 0.4
FULL_ML = 5000.0
READING_SERVES = timedelta(minutes=25)
ASKED_AGAIN = timedelta(seconds=60)
LONGEST = timedelta(days=4)
SECOND = timedelta(seconds=1)

Missed = tuple[JobId, ZoneId, StepId, datetime]
Choose = Callable[["Look"], Start | None]
Planner = Callable[[BayState, datetime, WorkOrder | None], WorkOrder]


@dataclass(frozen=True)
class Pace:
    """How long work truly takes, for one seed."""

    seed: int

    def factor(self, zone: ZoneId, step: str, turn: int = 0) -> float:
        """Return what the expected time is multiplied by the ``turn``-th time that this is done from now on."""
        return Random(f"{self.seed} {zone} {step} {turn}").uniform(1 - OFF, 1 + OFF)

    def minutes(self, job: Job, zone: ZoneId, step: Step) -> float:
        """Return how long a step truly takes the first time, as the planner asks it."""
        return step.minutes * self.factor(zone, step.id)


class Turns:
    """Counts how often each step of each zone has been begun, so that each time takes its own time."""

    def __init__(self, pace: Pace) -> None:
        self._pace = pace
        self._begun: Counter[tuple[JobId, ZoneId, StepId]] = Counter()

    def takes(self, state: BayState, start: Start) -> timedelta:
        """Return how long a touch that was just begun truly takes: its zones are worked one after the other."""
        whole = timedelta()
        recipe_of = state.jobs[start.job].job.recipe_of
        for zone in start.zones:
            key = start.job, zone, start.step
            factor = self._pace.factor(zone, start.step, self._begun[key])
            whole += timedelta(minutes=recipe_of(zone).named(start.step).minutes * factor)
            self._begun[key] += 1
        return SECOND * -(-whole // SECOND)


@dataclass(frozen=True)
class Look:
    """What a person sees who comes to the wall with free hands.

    Attributes:
        weighed: what the wall says of a touch from a ladder, for oneself; while the person stands there.
    """

    state: BayState
    now: Collection[ZoneClock]
    person: Person
    at: datetime
    offers: Sequence[Offer]
    recommendations: Sequence[Recommendation]
    pause: Pause | None
    weighed: Callable[[Start], Recommendation] = field(compare=False)


@dataclass(frozen=True)
class Touch:
    """Something that was begun, and what was known when it was."""

    look: Look
    start: Start
    warned: bool
    planned: bool


@dataclass
class Outcome:
    """How the day went.

    Attributes:
        finish: the end of the last step; None where not everything was done.
        missed: every latest moment that passed since the board opened, in the order of time.
        touches: what was begun, in the order of time.
        rests: who had free hands and began nothing, each time that anything changed, in the order of time.
        refused: what the wall offered and then refused.
        orders: how many work orders came.
        fresh: how many touches were made by an order that knew of everything before them.
        state: the bay in the end.
    """

    finish: datetime | None = None
    missed: tuple[Missed, ...] = ()
    touches: list[Touch] = field(default_factory=list)
    rests: list[Look] = field(default_factory=list)
    refused: list[tuple[Request, Verdict]] = field(default_factory=list)
    orders: int = 0
    fresh: int = 0
    state: BayState = field(default_factory=BayState)


class LatePlanner:
    """Answers some time after it was asked, perhaps better the later; a newer question makes it forget the one before.

    Attributes:
        stages: how long after the question each answer comes, and how it is thought out; the soonest first.
        last: the newest order with steps.
    """

    def __init__(self, *stages: tuple[timedelta, Planner]) -> None:
        self.stages = stages
        self.last: WorkOrder | None = None
        self._asked: tuple[BayState, datetime] | None = None
        self._left: list[tuple[timedelta, Planner]] = []

    def ask(self, state: BayState, at: datetime) -> None:
        """Want a work order for the bay as it stands."""
        self._asked, self._left = (state, at), list(self.stages)

    @property
    def due(self) -> datetime | None:
        """When it will answer next."""
        return self._asked[1] + self._left[0][0] if self._asked and self._left else None

    def answer(self, at: datetime) -> WorkOrder | None:
        """Return the answer if one is due; only then is it thought out."""
        if self._asked is None or self.due is None or at < self.due:
            return None
        _, plan = self._left.pop(0)
        order = plan(*self._asked, self.last)
        self.last = order if order.steps else self.last
        return order


def takes_the_advice(look: Look) -> Start | None:
    """Press the big button, or rest where it says so."""
    action = look.offers[0].action
    return action if isinstance(action, Start) else None


class Driver:
    """Works the cars of a bay from its present moment until nothing is left to do."""

    def __init__(self, hand: HandBay, pace: Pace, planner: LatePlanner, choose: Choose = takes_the_advice) -> None:
        self.hand, self.planner, self.choose = hand, planner, choose
        self.outcome = Outcome()
        self._turns = Turns(pace)
        self._fill_the_shelf()
        self._ends: dict[tuple[JobId, ZoneId], datetime] = {}
        self._missed: dict[Missed, None] = {}
        self._asked_at = hand.bay.now()
        self._known = set(self._lapses())
        for clock in hand.clocks():
            if clock.running:
                start = Start(clock.job, (clock.zone,), clock.running.step, clock.running.by)
                self._ends[clock.job, clock.zone] = clock.running.started_at + self._turns.takes(hand.bay.state, start)

    def work(self, longest: timedelta = LONGEST) -> Outcome:
        """Let the day pass, until all is done or so much time is over."""
        until = self.hand.bay.now() + longest
        self._ask()
        while self.hand.bay.now() < until:
            order = self.planner.answer(self.hand.bay.now())
            if order:
                self.hand.bay.advice.take_order(order)
                self.outcome.orders += 1
            pauses: list[datetime] = []
            while self._somebody_presses(pauses):
                pauses.clear()
            self._missed |= dict.fromkeys(self._lapses())
            if all(c.step is None for c in self.hand.clocks()):
                break
            moment = self._next_moment(pauses)
            if moment is None:
                break
            self.hand.go_to(moment)
            if moment - self._asked_at >= ASKED_AGAIN and self.planner.due is None and moment in self._clock_moments:
                self._ask()
        return self._concluded()

    def _concluded(self) -> Outcome:
        done = all(c.step is None for c in self.hand.clocks())
        runs = [r for job in self.hand.bay.state.open_jobs for z in job.zones.values() for r in z.runs]
        self.outcome.finish = max(r.finished_at for r in runs if r.finished_at) if done else None
        missed = [m for m in self._missed if m not in self._known]
        self.outcome.state = self.hand.bay.state
        self.outcome.missed = tuple(sorted(missed, key=lambda m: m[3]))
        return self.outcome

    def _fill_the_shelf(self) -> None:
        """Put a fresh bottle of everything beside those that the day began with, one of which would run out."""
        products = {p.name: p for job in self.hand.bay.state.open_jobs for p in job.job.products.values()}
        for product in products.values():
            assert self.hand.bay.request(ShelveBottle(product, FULL_ML)).accepted

    # Time.

    def _next_moment(self, pauses: list[datetime]) -> datetime | None:
        at = self.hand.bay.now()
        self._clock_moments = [m for m in [self.hand.bay.alerts.next_moment(at, self.hand.clocks())] if m]
        due = [self.planner.due] if self.planner.due else []
        return min((m for m in [*self._ends.values(), *self._clock_moments, *pauses, *due] if m > at), default=None)

    def _ask(self) -> None:
        self._asked_at = self.hand.bay.now()
        self.planner.ask(self.hand.bay.state, self._asked_at)

    def _lapses(self) -> Iterator[Missed]:
        """Yield the latest moments that have passed so far, those included that nobody has touched since."""
        for job in self.hand.bay.state.open_jobs:
            for zone, state in job.zones.items():
                yield from ((job.job.id, zone, lapse.step, lapse.lapsed_at) for lapse in state.lapses)
        for clock in self.hand.clocks():
            yield from ((clock.job, clock.zone, lapse.step, lapse.lapsed_at) for lapse in clock.lapses)

    # Touches.

    def _somebody_presses(self, pauses: list[datetime]) -> bool:
        if self._takes_a_way_out():
            return True
        for person in self._crew():
            look = self._look(person)
            action = look.offers[0].action
            if isinstance(action, FinishStep):
                ends = [self._ends[action.job, zone] for zone in action.zones]
                if max(ends) <= look.at and self._press(action):
                    return True
                continue
            start = self.choose(look)
            if start is not None and self._begin(look, start):
                return True
            self.outcome.rests.append(look)
            if look.pause:
                pauses.append(look.pause.until)
        return False

    def _takes_a_way_out(self) -> bool:
        """Press the first way out where nothing is planned; whether that changed anything."""
        order = self.hand.bay.advice.troubled
        if order is None or not order.stuck or not order.ways_out:
            return False
        request = remedies.request_of(remedies.Touch.of(order.ways_out[0]), None)
        return request is not None and self._press(request)

    def _crew(self) -> list[Person]:
        return list(dict.fromkeys(p for job in self.hand.bay.state.open_jobs for p in job.job.crew))

    def _look(self, person: Person) -> Look:
        bay, at = self.hand.bay, self.hand.bay.now()
        now = bay.clocks(at)
        recommendations, pause = bay.advice.for_person(now, person, at)
        bay.advice.told(recommendations, person, at)
        bay.advice.costs.work_out(at)  # the wall does so as soon as it has been painted
        recommendations, pause = bay.advice.for_person(now, person, at)
        recommendations = (*bay.advice.told(recommendations, person, at), *recommendations[LOOKED_AT:])
        seen = offers(bay.state, now, recommendations, pause, Viewpoint(person, at, UTC))
        return Look(bay.state, now, person, at, seen, recommendations, pause, self._weighed)

    def _weighed(self, start: Start) -> Recommendation:
        """Return what the wall says of a touch, once it has worked out what that would shut out."""
        advice, at = self.hand.bay.advice, self.hand.bay.now()
        advice.weighed(start, at)
        advice.costs.work_out(at)
        return advice.weighed(start, at)

    def _begin(self, look: Look, start: Start) -> bool:
        step = look.state.jobs[start.job].job.recipe_of(start.zones[0]).named(start.step)
        air = look.state.air
        if step.kind is StepKind.COAT and (air is None or look.at - air.at > READING_SERVES):
            self._press(ReadAir(21.0, 48.0, 19.5, look.person))
        taken = next((c for c in look.recommendations if _same(c, start)), None) or look.weighed(start)
        fresh = look.state.last_at == (self.hand.bay.advice.order.entry if self.hand.bay.advice.order else None)
        if not self._press(start):
            return False
        self.outcome.fresh += fresh
        self.outcome.touches.append(Touch(look, start, warns(taken), taken.planned))
        ends = look.at + self._turns.takes(look.state, start)
        for zone in start.zones:
            self._ends[start.job, zone] = ends
        return True

    def _press(self, request: Request) -> bool:
        verdict = self.hand.bay.request(request)
        if not verdict.accepted and verdict.possible:  # asked whether water reaches another car: it does not
            for answer in answers_to(verdict, out_of_reach=True):
                self.hand.bay.request(answer)
            verdict = self.hand.bay.request(request)
        if verdict.accepted:
            self._ask()
        else:
            self.outcome.refused.append((request, verdict))
        if isinstance(request, FinishStep):
            for zone in request.zones:
                self._ends.pop((request.job, zone), None)
        return verdict.accepted


def warns(recommendation: Recommendation) -> bool:
    """Whether the wall says of a step that something would, or may, be too late by it, or could not be done at all."""
    cost = recommendation.shuts_out
    return bool(recommendation.at_stake or cost.missed or cost.closes_the_way)


def _same(recommendation: Recommendation, start: Start) -> bool:
    advice = recommendation.advice
    return (advice.job, advice.step, set(advice.zones)) == (start.job, start.step, set(start.zones))
